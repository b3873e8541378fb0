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
  when,
} from '../engine/testing/small-house.ts'
import type { Plan, Stage } from '../plan/plan.ts'
import type { Vessel } from '../vessel/vessel.ts'
import { drillsFor } from './drills.ts'
import { reduceRuns } from './reduce.ts'
import { NOMINAL_RUN, simulateRun } from './run.ts'
import { runDrill } from './run-drill.ts'
import { prepare } from './setup.ts'

const HOUR_S = 3600
const DAY_S = 86_400

const drawn = (value: number, share = 0.15) => ({ value, sd: value * share })

const VESSEL: Vessel = smallVessel({
  instruments: [
    instrument('Probe', 10, [channel({ quantity: 'beer', noise: 0.03, resolution: 0.0625, lag_s: 60 })]),
    instrument('Float', 1800, [
      channel({ quantity: 'gravity', noise: 0.0007, foam: 0.003, bias: { value: 0, sd: 0.001 } }),
      channel({ quantity: 'beer', noise: 0.1, lag_s: 600 }),
    ]),
  ],
  heater: { ...smallVessel().heater!, power_W: drawn(30) },
  cooler: { ...smallVessel().cooler!, power_W: drawn(160), toAir_W_per_K: 8 },
})

const abovefinal = (points: number) =>
  when({
    kind: 'compare',
    quantity: 'gravity',
    relation: 'at most',
    against: { kind: 'above final', difference: points / 1000 },
  })
const steady = when({ kind: 'steady', quantity: 'gravity', within: 0.001, for_s: 48 * HOUR_S })

const unknown: Pick<Stage, 'ifUnknown'> = {
  ifUnknown: { wait_s: 12 * HOUR_S, then: { kind: 'ask' }, place: PLACE },
}

const PRIMARY = stage({ name: 'Primary', until: abovefinal(10), atMost_s: 10 * DAY_S, ...unknown })
const FINISH = stage({
  name: 'Warm finish',
  course: { kind: 'ramp', to_C: 21, over_s: 3 * DAY_S },
  until: when({ kind: 'all', of: [steady, stageLasted(3 * DAY_S)] }),
  askFirst: true,
  atMost_s: 14 * DAY_S,
  ...unknown,
})
const CRASH = stage({
  name: 'Crash',
  course: { kind: 'ramp', to_C: 2, rate_K_per_s: 1 / HOUR_S },
  until: when(
    { kind: 'compare', quantity: 'beer', relation: 'at most', against: { kind: 'value', value: 2.5 } },
    12 * HOUR_S,
  ),
  atMost_s: 4 * DAY_S,
})

const setupFor = (stages: readonly Stage[], vessel = VESSEL, part: Partial<Plan> = {}) =>
  prepare(smallPlan(stages, part), vessel, smallBeer(), { seed: 7 })

describe('a nominal run', () => {
  const setup = setupFor([PRIMARY, FINISH, CRASH])
  const nominal = simulateRun(setup, NOMINAL_RUN)

  it('of an ale at 18 °C, raised to 21 °C at 10 points above its end, finishes and can be crashed (common practice, no source)', () => {
    expect(nominal.ready_s).not.toBeNull()
    const days = nominal.ready_s! / DAY_S
    expect(days).toBeGreaterThan(5)
    expect(days).toBeLessThan(14)
    expect(nominal.finalGravity).toBeLessThan(1.0125)
    expect(nominal.lowest_C).toBeLessThan(2.6)
    expect(nominal.stages.map(({ how }) => how)).toEqual(['condition', 'condition', 'condition'])
    expect(nominal.harms.map(({ code }) => code)).not.toContain('final-gravity-not-reached')
    expect(nominal.harms.map(({ code }) => code)).not.toContain('chilled-early')
  })

  it('of a plan that goes by the calendar chills the beer too early, and says so', () => {
    const byCalendar = setupFor([stage({ name: 'Primary', until: stageLasted(2 * DAY_S) }), CRASH])
    const { harms } = simulateRun(byCalendar, NOMINAL_RUN)
    expect(harms.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['chilled-early', 'final-gravity-not-reached']),
    )
  })

  it('of a stage that nothing ends never leaves it', () => {
    const stuck = setupFor([stage({ name: 'Primary', until: abovefinal(-20) })])
    const { ready_s, harms } = simulateRun(stuck, NOMINAL_RUN)
    expect(ready_s).toBeNull()
    expect(harms.map(({ code }) => code)).toContain('never-leaves-stage')
  })
})

describe('an ensemble', () => {
  const setup = setupFor([PRIMARY, FINISH, CRASH])
  const runs = Array.from({ length: 13 }, (_, run) => simulateRun(setup, run))
  const result = reduceRuns(setup, runs, [])

  it('is the same to the bit in any order, run by run, and through a copy of the setup', () => {
    const copy = structuredClone(setup)
    const again = Array.from({ length: 13 }, (_, run) => simulateRun(copy, 12 - run))
    expect(JSON.stringify(reduceRuns(copy, again, []))).toBe(JSON.stringify(result))
    expect(JSON.stringify(reduceRuns(setup, simulateOthers(), []))).not.toBe(JSON.stringify(result))
  })

  const simulateOthers = () => Array.from({ length: 13 }, (_, run) => simulateRun({ ...setup, seed: 8 }, run))

  it('spreads around the nominal run, with quantiles in order', () => {
    const { hours, nominal_h, share } = result.ready
    expect(share).toBe(1)
    expect(hours.p5!).toBeLessThan(hours.p50!)
    expect(hours.p50!).toBeLessThan(hours.p95!)
    expect(nominal_h!).toBeGreaterThan(hours.p5! - 24)
    expect(nominal_h!).toBeLessThan(hours.p95! + 24)
    expect(result.stages.map(({ entered }) => entered)).toEqual([1, 1, 1])
    expect(
      result.stages.every(({ ended }) => Math.abs(Object.values(ended).reduce((a, b) => a + b) - 1) < 1e-9),
    ).toBe(true)
  })

  it('gives aligned fans over time and along the path, gravity falling', () => {
    const { overTime, path } = result
    for (const fan of [overTime.beer_C, overTime.gravity]) {
      for (const column of Object.values(fan)) expect(column).toHaveLength(overTime.time_h.length)
    }
    expect(path.beer_C.p50).toHaveLength(path.gravity.length)
    // Near the end most runs are done and cold; the few that are not do not lift the median again.
    expect(overTime.beer_C.p50.at(-1)!).toBeLessThan(3.5)
    expect(path.gravity.every((value, i) => i === 0 || value < path.gravity[i - 1]!)).toBe(true)
    const middle = path.beer_C.p50[Math.floor(path.gravity.length / 4)]!
    expect(middle).toBeGreaterThan(17)
    expect(middle).toBeLessThan(19)
  })

  it('names the worst runs of each risk so that they can be shown again', () => {
    for (const { worst, share, extent } of result.risks) {
      expect(worst.length).toBeGreaterThan(0)
      expect(share).toBeGreaterThan(0)
      expect(extent.p50).not.toBeNull()
    }
    const ranks = result.risks.map(({ share, harm }) => share * harm)
    expect(ranks).toEqual(ranks.toSorted((a, b) => b - a))
  })
})

describe('drills', () => {
  const setup = setupFor([PRIMARY, FINISH, CRASH])
  const results = new Map(drillsFor(setup).map(drill => [drill.name, runDrill(setup, drill)]))
  const verdict = (name: string) => results.get(name)!.verdict

  it('are the whole list', () => {
    expect([...results.keys()]).toEqual([
      'float-silent',
      'float-slow',
      'float-not-in-wort',
      'probe-silent',
      'probe-displaced',
      'probe-stuck',
      'heater-welded',
      'heater-dead',
      'cooler-dead',
      'thermostat-displaced',
      'power-cut',
      'controller-restart',
      'network-cut',
      'heat-wave',
      'door-open',
      'final-too-low',
      'final-too-high',
      'stuck-fermentation',
      'fast-fermentation',
    ])
  })

  it('pass where the plan and the interlocks cope alone', () => {
    for (const name of [
      'power-cut',
      'controller-restart',
      'heat-wave',
      'final-too-high',
      'fast-fermentation',
    ]) {
      expect([name, verdict(name)]).toEqual([name, 'passed'])
    }
  })

  it('need the brewer where the plan asks for them in time', () => {
    expect(results.get('float-silent')).toMatchObject({ verdict: 'needed the brewer' })
    expect(results.get('float-silent')!.moment_h! - results.get('float-silent')!.fault_h!).toBeLessThan(48)
  })

  it('call the brewer for a float that is still on the bench: its gravity is not believed, its temperature contradicts', () => {
    expect(results.get('float-not-in-wort')).toMatchObject({ verdict: 'needed the brewer' })
  })

  it('fail where nobody is asked: the same plan without a word for silence, and without a longest time', () => {
    const { ifUnknown: _, atMost_s: __, ...silent } = PRIMARY
    const careless = setupFor([silent, FINISH, CRASH])
    const drill = drillsFor(careless).find(({ name }) => name === 'float-silent')!
    expect(runDrill(careless, drill)).toMatchObject({ verdict: 'failed', moment_h: null })
  })

  it('fail where a relay is welded on and the heater can overpower everything', () => {
    const strong = { ...VESSEL, heater: { ...VESSEL.heater!, power_W: { value: 120, sd: 0 } } }
    const hot = setupFor([PRIMARY, FINISH, CRASH], strong)
    const drill = drillsFor(hot).find(({ name }) => name === 'heater-welded')!
    expect(runDrill(hot, drill)).toMatchObject({ verdict: 'failed' })
    expect(runDrill(hot, drill).highest_C).toBeGreaterThan(24)
  })

  it('do not apply to what the vessel does not have', () => {
    const { cooler: _, ...bare } = VESSEL
    const warm = setupFor([PRIMARY], bare)
    const drill = drillsFor(warm).find(({ name }) => name === 'cooler-dead')!
    expect(runDrill(warm, drill)).toMatchObject({
      verdict: 'not applicable',
      reason: 'The vessel has no cooler.',
    })
  })
})
