import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import type { Beer } from './beer.ts'
import { readBeer } from './read-beer.ts'

function mustRead(text: string): Beer {
  const { beer, findings } = readBeer(text, 'test.yaml')
  expect(findings).toEqual([])
  return beer!
}

function example(name: string): Beer {
  return mustRead(readFileSync(new URL(`../../../../examples/${name}`, import.meta.url), 'utf8'))
}

test('amber-ale.beer.yaml says all of it', () => {
  expect(example('amber-ale.beer.yaml')).toMatchObject({
    name: 'Amber ale of the first frost',
    originalGravity: 1.05,
    finalGravity: { value: 1.012, sd: 0.0015 },
    startsAt_C: { value: 18, sd: 1 },
    start: { text: '2026-12-04T18:00', local_s: 1796407200 },
    yeast: {
      name: 'House ale yeast',
      class: 'ale',
      comfort_C: { lowest: 17, highest: 22 },
      attenuation: { lowest: 0.7, highest: 0.8 },
      pitch: 0.75,
      vigour: { value: 1, sd: 0.15 },
    },
    brewer: { answersWithin_s: 10800, asleepFrom_s: 82800, asleepTo_s: 25200, awayAtWeekends: false },
  })
})

test('lager.beer.yaml has its extract in °P', () => {
  const beer = example('lager.beer.yaml')
  // NBS Circular 440: 12 °P is 1.04837.
  expect(Math.abs(beer.originalGravity - 1.04837)).toBeLessThan(3e-5)
  expect(beer.brewer.awayAtWeekends).toBe(true)
})

test('mash.beer.yaml has no yeast, and nothing ferments', () => {
  const beer = example('mash.beer.yaml')
  expect(beer).not.toHaveProperty('yeast')
  expect(beer).toMatchObject({
    volume_L: 30,
    startsAt_C: { value: 20 },
    finalGravity: { value: 1.05, sd: 0 },
  })
})

test('a short file has usual values for the rest', () => {
  const beer = mustRead('beer: Short\noriginal gravity: 1.060\nyeast: { class: lager }\n')
  expect(beer).not.toHaveProperty('volume_L')
  expect(beer.yeast).toMatchObject({ name: 'lager', comfort_C: { lowest: 7, highest: 13 }, pitch: 1.5 })
  // Middle of the attenuation of the class, 77 % of 60 points.
  expect(beer.finalGravity.value).toBeCloseTo(1.06 - 0.06 * 0.77, 12)
  expect(beer.finalGravity.sd).toBeCloseTo((0.06 * 0.1) / 2, 12)
  expect(beer.brewer).toEqual({
    answersWithin_s: 10800,
    asleepFrom_s: 82800,
    asleepTo_s: 25200,
    awayAtWeekends: false,
  })
})

test('the usual start is a Monday', () => {
  const { start } = mustRead('beer: Water\noriginal gravity: 1.000\n')
  expect(new Date(start.local_s * 1000).getUTCDay()).toBe(1)
})

test.each(['ale', 'lager', 'wheat', 'saison', 'kveik'])(
  'the class %s has a comfort and an attenuation',
  kind => {
    const { yeast } = mustRead(`beer: Short\noriginal gravity: 1.050\nyeast: { class: ${kind} }\n`)
    expect(yeast!.comfort_C.lowest).toBeLessThan(yeast!.comfort_C.highest)
    expect(yeast!.attenuation.lowest).toBeLessThan(yeast!.attenuation.highest)
  },
)
