import { describe, expect, it } from 'vitest'
import {
  channel,
  instrument,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
} from '../engine/testing/small-house.ts'
import type { Thermostat } from '../vessel/vessel.ts'
import { drillsFor } from './drills.ts'
import { NOMINAL_RUN, simulateRun } from './run.ts'
import { runDrill } from './run-drill.ts'
import { prepare } from './setup.ts'

const HOUR_S = 3600
const DAY_S = 86_400

const DEVICE: Thermostat = {
  follows: 'beer',
  hysteresis_K: 0.3,
  lowest_C: 0,
  highest_C: 30,
  resolution_K: 0.1,
  whenUnheard: 'keeps its target',
  bias: { value: 0, sd: 0.2 },
  lag_s: 60,
  lostCommands: 0,
  place: PLACE,
}

const PLAN = smallPlan([
  stage({ name: 'Primary', until: stageLasted(6 * DAY_S) }),
  stage({
    name: 'Crash',
    course: { kind: 'ramp', to_C: 4, over_s: 2 * DAY_S },
    until: stageLasted(3 * DAY_S),
  }),
])

function setupWith(device: Partial<Thermostat>, method: 'on-off' | 'cascade' = 'on-off') {
  const vessel = smallVessel({
    instruments: [instrument('Probe', 10, [channel({ quantity: 'beer', noise: 0.03, lag_s: 60 })])],
    cooler: { ...smallVessel().cooler!, power_W: { value: 200, sd: 0 }, toAir_W_per_K: 10 },
    thermostat: { ...DEVICE, ...device },
  })
  const plan = { ...PLAN, control: { method } }
  return prepare(plan, vessel, smallBeer(), { seed: 11, horizon_s: 12 * DAY_S })
}

/** How far the beer is from its target at worst, while a stage holds it: the first half day left out. */
function worst_K(setup: ReturnType<typeof setupWith>): number {
  const { trace, ready_s } = simulateRun(setup, NOMINAL_RUN)
  expect(ready_s).not.toBeNull()
  const from = (12 * HOUR_S) / setup.sample_s
  const to = (6 * DAY_S) / setup.sample_s
  const away_K = trace.beer_C.slice(from, to).map((beer_C, n) => Math.abs(beer_C - trace.target_C[from + n]!))
  return Math.max(...away_K)
}

describe('a batch in a vessel with a thermostat', () => {
  it('is held by it, and chilled along the ramp', () => {
    const setup = setupWith({})
    expect(worst_K(setup)).toBeLessThan(1)
    const { trace } = simulateRun(setup, NOMINAL_RUN)
    expect(trace.beer_C.at(-1)).toBeLessThan(5)
    expect(Math.max(...trace.cooler)).toBeGreaterThan(0)
  })

  it('is warmer than the air that a thermostat keeps, unless a cascade sets that air by the beer', () => {
    const plain_K = worst_K(setupWith({ follows: 'air', lowest_C: -5 }))
    const cascade_K = worst_K(setupWith({ follows: 'air', lowest_C: -5 }, 'cascade'))
    expect(plain_K).toBeGreaterThan(1)
    expect(cascade_K).toBeLessThan(plain_K / 2)
  })

  it('is missed by a thermostat that reads wrong, by as much as that', () => {
    const away_K = worst_K(setupWith({ bias: { value: -1.5, sd: 0 } }))
    expect(away_K).toBeGreaterThan(1.2)
    expect(away_K).toBeLessThan(2.5)
  })

  it('gets through what befalls the probe, the network and the software, and through a thermostat that is at fault', () => {
    const setup = setupWith({})
    const drills = new Map(drillsFor(setup).map(drill => [drill.name, drill]))
    const result = (name: string) => runDrill(setup, drills.get(name)!)
    for (const name of ['probe-silent', 'controller-restart', 'power-cut']) {
      expect([name, result(name).verdict]).not.toEqual([name, 'failed'])
    }
    const displaced = result('thermostat-displaced')
    expect(displaced.verdict).toBe('needed the brewer')
    expect(displaced.highest_C).toBeLessThan(24.5)
  })
})
