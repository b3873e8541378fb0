import { readFileSync } from 'node:fs'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { compile } from '@attemper/core/engine/compile.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { describe, expect, test } from 'vitest'
import { type Reported, VesselWorld } from './vessel-world.ts'

const text = (file: string) => readFileSync(new URL(`./scenario/${file}`, import.meta.url), 'utf8')
const START_S = 1_764_612_000

describe.each(['tank', 'larder', 'bucket'])('the scenario: %s', name => {
  const { vessel } = readVessel(text(`${name}.vessel.yaml`), 'vessel')
  const { beer } = readBeer(text(`${name}.beer.yaml`), 'beer')
  const { plan } = readPlan(text(`${name}.plan.yaml`), 'plan')

  test('the proof-reader has nothing to say', () => {
    expect(compile(plan!, vessel!, beer!, 0).channels.length).toBeGreaterThan(1)
    expect(
      proofRead({ plan: plan!, vessel: vessel!, beer: beer!, planFile: name }).filter(
        ({ severity }) => severity !== 'note',
      ),
    ).toEqual([])
  })

  test('readings come at their times, whatever the steps in which the clock is looked at', () => {
    const readings = (step_s: number) => {
      const world = new VesselWorld(vessel!, beer!, START_S, 7)
      const all: Reported[] = []
      for (let t_s = START_S; t_s <= START_S + 7200; t_s += step_s) all.push(...world.advanceTo(t_s))
      return all.map(({ from, at_s, value }) => [from.instrument.name, from.channel.quantity, at_s, value])
    }
    const fine = readings(10)
    expect(readings(600)).toEqual(fine)
    // A probe that reports each minute, for two hours.
    const probe = fine.filter(([instrument]) => instrument === 'Probe')
    expect(Math.abs(probe.length - 120)).toBeLessThanOrEqual(1)
  })

  test('before the cellar takes it over it is kept where it began, and ferments', () => {
    const world = new VesselWorld(vessel!, beer!, START_S, 7)
    const { beer_C, gravity_SG } = world.truth
    world.liveThrough(START_S + 2 * 86_400)
    expect(world.now_s).toBe(START_S + 2 * 86_400)
    expect(gravity_SG - world.truth.gravity_SG).toBeGreaterThan(0.01)
    // A bucket without a cooler warms itself.
    expect(Math.abs(world.truth.beer_C - beer_C)).toBeLessThan(vessel!.cooler ? 1 : 5)
  })

  test('it obeys a lease, and lets it lapse', () => {
    const world = new VesselWorld(vessel!, beer!, START_S, 7)
    world.advanceTo(START_S + 60)
    world.obey({ appliance: 'heater', on: true, until_s: START_S + 660, fence: START_S + 60 })
    world.obey({ appliance: 'heater', on: false, until_s: START_S + 660, fence: START_S + 59 })
    world.advanceTo(START_S + 600)
    expect(world.truth.heater.on).toBe(true)
    world.advanceTo(START_S + 700)
    expect(world.truth.heater).toMatchObject({ on: false, onTime_s: 600 })
  })
})
