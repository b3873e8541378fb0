import { readFileSync } from 'node:fs'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { describe, expect, test } from 'vitest'
import { withValue } from './text-value.ts'
import { type Slider, slidersFor, steadySliders } from './what-if.ts'

const text = (name: string) => readFileSync(new URL(`../../../../examples/${name}`, import.meta.url), 'utf8')

const CASES = [
  ['garage-fridge.vessel.yaml', 'amber-ale.beer.yaml'],
  ['garage-fridge.vessel.yaml', 'lager.beer.yaml'],
  ['bucket-with-pad.vessel.yaml', 'amber-ale.beer.yaml'],
  ['electric-kettle.vessel.yaml', 'mash.beer.yaml'],
] as const

describe('sliders', () => {
  test.each(CASES)('what is set on %s with %s is what is read afterwards', (vesselFile, beerFile) => {
    const texts = { vessel: text(vesselFile), beer: text(beerFile) }
    const { vessel } = readVessel(texts.vessel, 'vessel')
    const { beer } = readBeer(texts.beer, 'beer')
    const sliders = slidersFor(vessel!, beer!)
    expect(sliders.length).toBeGreaterThan(2)
    for (const slider of sliders) {
      const { id, part, path, least, most, step, write } = slider
      expect(slider.value, id).toBeGreaterThanOrEqual(least)
      expect(slider.value, id).toBeLessThanOrEqual(most)
      const wanted = least + step * Math.round((0.7 * (most - least)) / step)
      const changed = withValue(texts[part], path, write(wanted))
      const after = { ...texts, [part]: changed }
      const read = { vessel: readVessel(after.vessel, 'vessel'), beer: readBeer(after.beer, 'beer') }
      expect(read[part].findings, id).toEqual([])
      const now = slidersFor(read.vessel.vessel!, read.beer.beer!).find(each => each.id === id)
      expect(now?.value, id).toBeCloseTo(wanted, 5)
    }
  })

  // One drag to the right end took a heater from 160 W to 13,500 W: with each value that was written, the end moved on.
  test('dragged to its end, a slider stays between the ends that it had', () => {
    let vesselText = text('garage-fridge.vessel.yaml')
    const { beer } = readBeer(text('amber-ale.beer.yaml'), 'beer')
    let shown: readonly Slider[] = []
    const look = () => {
      shown = steadySliders(slidersFor(readVessel(vesselText, 'vessel').vessel!, beer!), shown)
      return shown.find(({ id }) => id === 'heater')!
    }
    const { most } = look()
    for (let move = 0; move < 20; move += 1) {
      const slider = look()
      vesselText = withValue(vesselText, slider.path, slider.write(slider.most))!
    }
    expect(look()).toMatchObject({ value: most, most })
    vesselText = withValue(vesselText, look().path, '2000 W')!
    expect(look().most).toBeGreaterThan(2000)
  })

  test('a kettle without yeast has no sliders for one', () => {
    const { vessel } = readVessel(text('electric-kettle.vessel.yaml'), 'vessel')
    const { beer } = readBeer(text('mash.beer.yaml'), 'beer')
    const ids = slidersFor(vessel!, beer!).map(({ id }) => id)
    expect(ids).toContain('heater')
    expect(ids).not.toContain('vigour')
    expect(ids).not.toContain('cooler')
  })
})
