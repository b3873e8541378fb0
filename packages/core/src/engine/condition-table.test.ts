import { describe, expect, it } from 'vitest'
import type { Condition } from '../plan/plan.ts'
import { compile } from './compile.ts'
import { evaluate } from './conditions.ts'
import type { EngineState } from './contract.ts'
import { beginDraft } from './draft.ts'
import { initialState } from './initial.ts'
import { Scope } from './scope.ts'
import {
  channel,
  gravityAtMost,
  instrument,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
  when,
} from './testing/small-house.ts'

/** Each kind of condition alone: its three values at and beside its threshold, and how long that stands. */

/** 2027-01-15T08:00 UTC. */
const NOW_S = 1_800_000_000
const HOUR_S = 3600
const GRAVITY = 0
const BEER = 1
const FORECAST = 2

const vessel = smallVessel({
  instruments: [
    instrument('Float', 1800, [channel({ quantity: 'gravity' })]),
    instrument('Probe', 10, [channel({ quantity: 'beer' })]),
    instrument('Forecast', 1800, [channel({ quantity: 'forecast final gravity' })]),
  ],
})

interface Known {
  readonly beer_C?: number
  readonly gravity?: number
  readonly forecast?: number
  /** Readings of the float: seconds before now, and what it read. */
  readonly history?: readonly (readonly [number, number])[]
}

function look(condition: Condition, known: Known = {}, part: Partial<EngineState> = {}, now_s = NOW_S) {
  const program = compile(smallPlan([stage({ name: 'One', until: condition })]), vessel, smallBeer())
  const values = [known.gravity, known.beer_C, known.forecast]
  const state: EngineState = {
    ...initialState(program),
    batch: 'running',
    startedAt_s: NOW_S - 5000,
    stageSince_s: NOW_S - 1000,
    channels: values.map((read, number) => ({
      value: read ?? null,
      at_s: NOW_S,
      trusted: read !== undefined,
      doubted: false,
      run: 0,
      recent: [],
      history:
        number === GRAVITY
          ? (known.history ?? []).map(([ago_s, read]) => [now_s - ago_s, read] as const)
          : [],
    })),
    inCharge: program.quantities.map(({ trust }) => (values[trust[0]!] === undefined ? -1 : trust[0]!)),
    ...part,
  }
  const draft = beginDraft(program, state, now_s, Scope.of(3))
  const truth = evaluate(draft, program.stages[0]!.until!)
  const { lower, upper, until_s } = draft.scope
  return {
    is: (['false', 'unknown', 'true'] as const)[truth],
    standsFor_s: until_s - now_s,
    /** Between which values of the channel it stands. */
    bounds: (channel: number) => [lower[channel], upper[channel]],
    dwells: draft.state.dwells,
  }
}

const NOT_LIMITED = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]
const EVERY_READING = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]

const beer = (relation: 'at least' | 'at most', value: number, lasting_s = 0) =>
  when({ kind: 'compare', quantity: 'beer', relation, against: { kind: 'value', value } }, lasting_s)

describe('a comparison', () => {
  it.each([
    ['at least', 17.9, 'false', [Number.NEGATIVE_INFINITY, 18]],
    ['at least', 18, 'true', [18, Number.POSITIVE_INFINITY]],
    ['at most', 18, 'true', [Number.NEGATIVE_INFINITY, 18]],
    ['at most', 18.1, 'false', [18, Number.POSITIVE_INFINITY]],
  ] as const)('%s 18 °C of a beer at %s °C is %s', (relation, beer_C, is, bounds) => {
    const looked = look(beer(relation, 18), { beer_C })
    expect(looked).toMatchObject({ is, standsFor_s: Number.POSITIVE_INFINITY })
    expect(looked.bounds(BEER)).toEqual(bounds)
  })

  it('is unknown of what nobody measures now', () => {
    expect(look(beer('at least', 18)).is).toBe('unknown')
    expect(look(when({ kind: 'attenuation', atLeast: 0.5 })).is).toBe('unknown')
  })

  const above = (kind: 'above final' | 'above forecast', relation: 'at least' | 'at most' = 'at most') =>
    when({ kind: 'compare', quantity: 'gravity', relation, against: { kind, difference: 0.004 } })

  it('with the expected final gravity counts from that, and is unknown without one', () => {
    expect(look(above('above final'), { gravity: 1.0161 }).is).toBe('false')
    const met = look(above('above final'), { gravity: 1.0159, forecast: 1.02 })
    expect(met.is).toBe('true')
    expect(met.bounds(FORECAST)).toEqual(NOT_LIMITED)
    expect(look(above('above final'), { gravity: 1.0159 }, { finalGravity: 1.01 }).is).toBe('false')
    expect(look(above('above final'), { gravity: 1.0159 }, { finalGravity: null }).is).toBe('unknown')
    expect(look(above('above final', 'at least'), { gravity: 1.0161 }).is).toBe('true')
  })

  it('with the forecast one counts from what is forecast, of which each reading matters', () => {
    const met = look(above('above forecast'), { gravity: 1.0139, forecast: 1.01 })
    expect(met.is).toBe('true')
    expect(met.bounds(FORECAST)).toEqual(EVERY_READING)
    expect(look(above('above forecast'), { gravity: 1.0141, forecast: 1.01 }).is).toBe('false')
    const unknown = look(above('above forecast'), { gravity: 1.0139 })
    expect(unknown.is).toBe('unknown')
    expect(unknown.bounds(FORECAST)).toEqual(NOT_LIMITED)
  })

  it('of the attenuation counts from the original gravity that is believed', () => {
    const half = when({ kind: 'attenuation', atLeast: 0.5 })
    expect(look(half, { gravity: 1.0251 }).is).toBe('false')
    const met = look(half, { gravity: 1.0249 })
    expect(met.is).toBe('true')
    expect(met.bounds(GRAVITY)[1]).toBeCloseTo(1.025, 9)
    expect(look(half, { gravity: 1.0259 }, { originalGravity: 1.052 }).is).toBe('true')
  })
})

describe('near the target', () => {
  const near = when({ kind: 'near target', within_K: 0.5 })

  it.each([
    [17.4, 'false', [Number.NEGATIVE_INFINITY, 17.5]],
    [17.5, 'true', [17.5, 18.5]],
    [18.5, 'true', [17.5, 18.5]],
    [18.6, 'false', [18.5, Number.POSITIVE_INFINITY]],
  ] as const)('18 ± 0.5 °C, a beer at %s °C: %s', (beer_C, is, bounds) => {
    const looked = look(near, { beer_C }, { target_C: 18 })
    expect(looked.is).toBe(is)
    expect(looked.bounds(BEER)).toEqual(bounds)
  })

  it('is unknown without a temperature, and without a target', () => {
    expect(look(near, {}, { target_C: 18 }).is).toBe('unknown')
    expect(look(near, { beer_C: 0.2 }, { target_C: null }).is).toBe('unknown')
  })
})

describe('time', () => {
  const lasted = (since: 'pitch' | 'stage' | 'target', atLeast_s: number) =>
    when({ kind: 'elapsed', since, atLeast_s })

  it.each([
    ['pitch', 5000, 'true'],
    ['pitch', 5001, 'false'],
    ['stage', 1000, 'true'],
    ['stage', 1001, 'false'],
    ['target', 300, 'true'],
    ['target', 301, 'false'],
  ] as const)('since %s: %s s is %s', (since, atLeast_s, is) => {
    const looked = look(lasted(since, atLeast_s), { beer_C: 18 }, { reachedAt_s: NOW_S - 300 })
    expect(looked).toMatchObject({ is, standsFor_s: is === 'true' ? Number.POSITIVE_INFINITY : 1 })
  })

  it('since a target that was not reached is false; while the beer is unknown, unknown', () => {
    expect(look(lasted('target', 0), { beer_C: 18 }).is).toBe('false')
    expect(look(lasted('target', 0)).is).toBe('unknown')
  })

  /** At 08:00 by the clock. */
  it.each([
    [8, 9, 'true', 1],
    [7, 8, 'false', 23],
    [9, 10, 'false', 1],
    [7, 10, 'true', 2],
    [22, 6, 'false', 14],
    [22, 9, 'true', 1],
    [8, 7, 'true', 23],
    [9, 8, 'false', 1],
    [8, 8, 'false', 24],
  ] as const)('from %s to %s o’clock is %s for %s h more', (from, to, is, hours) => {
    const window = when({ kind: 'time of day', from_s: from * HOUR_S, to_s: to * HOUR_S })
    expect(look(window)).toMatchObject({ is, standsFor_s: hours * HOUR_S })
  })

  it('from a date on', () => {
    const date = (local_s: number) => look(when({ kind: 'calendar', from: { text: '', local_s } }))
    expect(date(NOW_S)).toMatchObject({ is: 'true' })
    expect(date(NOW_S + 60)).toMatchObject({ is: 'false', standsFor_s: 60 })
  })
})

describe('a trend', () => {
  const line = (per_h: number, hours: number) =>
    Array.from({ length: hours + 1 }, (_, n) => [(hours - n) * HOUR_S, 1.03 + per_h * (n - hours)] as const)
  const fall = (relation: 'at least' | 'at most', rate_per_h: number) =>
    when({ kind: 'fall', relation, rate_per_s: rate_per_h / HOUR_S, over_s: 4 * HOUR_S })
  const steadyWithin = (within: number) =>
    when({ kind: 'steady', quantity: 'gravity', within, for_s: 4 * HOUR_S })
  const steady = steadyWithin(0.004)

  it.each([
    ['at least', -0.0011, 'true'],
    ['at least', -0.0009, 'false'],
    ['at least', 0.0011, 'false'],
    ['at most', -0.0011, 'false'],
    ['at most', -0.0009, 'true'],
    ['at most', 0.0011, 'true'],
  ] as const)('a fall of %s 1 point/h in a gravity that changes by %s/h is %s', (relation, per_h, is) => {
    const looked = look(fall(relation, 0.001), { gravity: 1.03, history: line(per_h, 5) })
    expect(looked.is).toBe(is)
    expect(looked.bounds(GRAVITY)).toEqual(EVERY_READING)
  })

  it.each([
    [-0.0011, 'false'],
    [-0.0009, 'true'],
    [0.0009, 'true'],
    [0.0011, 'false'],
  ] as const)('steady within 4 points for 4 h, at %s/h, is %s', (per_h, is) => {
    expect(look(steady, { gravity: 1.03, history: line(per_h, 5) }).is).toBe(is)
  })

  it('is unknown before the window is full, and of what nobody measures', () => {
    expect(look(steady, { gravity: 1.03, history: line(0, 3) }).is).toBe('unknown')
    expect(look(steady, { gravity: 1.03, history: line(0, 4) }).is).toBe('true')
    expect(look(fall('at most', 0.001), { gravity: 1.03, history: line(0, 3) }).is).toBe('unknown')
    const lost = look(steady, { history: line(0, 5) })
    expect(lost.is).toBe('unknown')
    expect(lost.bounds(GRAVITY)).toEqual(NOT_LIMITED)
  })

  it('of an exactly unchanged gravity is steady within nothing at all', () => {
    const flat = { gravity: 1.03, history: line(0, 5) }
    expect(look(steadyWithin(0), flat).is).toBe('true')
    expect(look(fall('at most', 0), flat).is).toBe('true')
    expect(look(fall('at least', 0), flat).is).toBe('true')
  })
})

describe('combined', () => {
  const T = stageLasted(0)
  const F = stageLasted(HOUR_S)
  const U = gravityAtMost(1.02)
  const NAMES = new Map([
    [T, 'true'],
    [F, 'false'],
    [U, 'unknown'],
  ])

  it.each([
    ['all', [T, T], 'true'],
    ['all', [T, F], 'false'],
    ['all', [T, U], 'unknown'],
    ['all', [U, F], 'false'],
    ['any', [F, F], 'false'],
    ['any', [F, T], 'true'],
    ['any', [F, U], 'unknown'],
    ['any', [U, T], 'true'],
  ] as const)('%s of two', (kind, of, is) => {
    expect([of.map(one => NAMES.get(one)), look(when({ kind, of })).is]).toEqual([expect.anything(), is])
  })

  it('not turns true and false round, and leaves unknown as it is', () => {
    expect([T, F, U].map(of => look(when({ kind: 'not', of })).is)).toEqual(['false', 'true', 'unknown'])
  })

  it('a task is done, or not yet', () => {
    const done = when({ kind: 'done', task: 'Taste' })
    expect(look(done, {}, { tasksDone: ['Smell'] }).is).toBe('false')
    expect(look(done, {}, { tasksDone: ['Taste'] }).is).toBe('true')
  })
})

describe('a dwell', () => {
  const warm = beer('at least', 18, 600)
  const since = (trueSince_s: number | null) => ({ dwells: [{ trueSince_s }] })

  it('begins to count when its condition is true, and stands until it is full', () => {
    const begun = look(warm, { beer_C: 18 }, since(null))
    expect(begun).toMatchObject({ is: 'false', standsFor_s: 600, dwells: [{ trueSince_s: NOW_S }] })
    const later = look(warm, { beer_C: 18 }, since(NOW_S - 599))
    expect(later).toMatchObject({ is: 'false', standsFor_s: 1, dwells: [{ trueSince_s: NOW_S - 599 }] })
    expect(look(warm, { beer_C: 18 }, since(NOW_S - 600))).toMatchObject({
      is: 'true',
      standsFor_s: Number.POSITIVE_INFINITY,
      dwells: [{ trueSince_s: NOW_S - 600 }],
    })
  })

  it('starts anew when its condition is false', () => {
    const cold = look(warm, { beer_C: 17 }, since(NOW_S - 500))
    expect(cold).toMatchObject({ is: 'false', dwells: [{ trueSince_s: null }] })
  })

  // The probe was silent for an hour: nobody knows that the beer stayed warm, so that hour does not count.
  it('starts anew when its condition is unknown, and is unknown meanwhile', () => {
    expect(look(warm, {}, since(NOW_S - 500))).toMatchObject({
      is: 'unknown',
      dwells: [{ trueSince_s: null }],
    })
  })

  // 'any' is true already by its first part. The clock of the second begins all the same: later it may be all there is.
  it('begins inside of a combination that is settled without it', () => {
    const any = when({ kind: 'any', of: [stageLasted(0), warm] })
    expect(look(any, { beer_C: 18 }, since(null))).toMatchObject({
      is: 'true',
      dwells: [{ trueSince_s: NOW_S }],
    })
    const all = when({ kind: 'all', of: [stageLasted(HOUR_S), warm] })
    expect(look(all, { beer_C: 18 }, since(null))).toMatchObject({
      is: 'false',
      dwells: [{ trueSince_s: NOW_S }],
    })
  })
})
