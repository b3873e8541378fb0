import { describe, expect, it } from 'vitest'
import type { Condition } from '../plan/plan.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { PLACE, smallBeer, smallPlan, smallVessel, stage, when } from './testing/small-house.ts'

const HOUR_S = 3600
/** 2027-01-15T08:00 UTC. */
const START_S = Date.UTC(2027, 0, 15, 8) / 1000

function talk(until: Condition, localOffset_s = 0, ifUnknown_s = 0) {
  const ifUnknown = { wait_s: ifUnknown_s, then: { kind: 'ask' }, place: PLACE } as const
  const plan = smallPlan([
    stage({
      name: 'One',
      course: { kind: 'hold', target_C: 18 },
      until,
      ...(ifUnknown_s > 0 ? { ifUnknown } : {}),
    }),
  ])
  return new Conversation(compile(plan, smallVessel(), smallBeer(), localOffset_s), START_S)
}

describe('a condition on the target', () => {
  it('is unknown, not false, while nobody knows how warm the beer is: then the brewer is asked', () => {
    const engine = talk(when({ kind: 'elapsed', since: 'target', atLeast_s: 600 }), 0, HOUR_S)
    engine.start()
    engine.tell(HOUR_S + 10)
    expect(engine.state.questions).toMatchObject([{ about: 'unknown' }])
  })

  it('is near it from both sides', () => {
    const engine = talk(when({ kind: 'near target', within_K: 0.5 }))
    engine.start({ 'Probe.beer': 18.6 })
    engine.keepTelling(600, 10, { 'Probe.beer': 18.6 })
    engine.keepTelling(600, 10, { 'Probe.beer': 17.4 })
    expect(engine.state.batch).toBe('running')
    engine.keepTelling(20, 10, { 'Probe.beer': 17.6 })
    expect(engine.state.batch).toBe('complete')
  })
})

describe('a condition on the clock goes by local time', () => {
  it('on a date', () => {
    const local_s = Date.UTC(2027, 0, 15, 12) / 1000
    const from = { text: '2027-01-15T12:00', local_s }
    // Two hours ahead of UTC: noon is at 10:00 UTC, two hours after the start.
    const engine = talk(when({ kind: 'calendar', from }), 2 * HOUR_S)
    engine.start({ 'Probe.beer': 18 })
    engine.tell(2 * HOUR_S - 1)
    expect(engine.state.batch).toBe('running')
    engine.tell(1)
    expect(engine.state.batch).toBe('complete')
  })

  it('in a time of the day, also over midnight', () => {
    const engine = talk(when({ kind: 'time of day', from_s: 22 * HOUR_S, to_s: 6 * HOUR_S }), 2 * HOUR_S)
    engine.start({ 'Probe.beer': 18 })
    // 10:00 on the clock; the window begins twelve hours later.
    engine.tell(12 * HOUR_S - 1)
    expect(engine.state.batch).toBe('running')
    engine.tell(1)
    expect(engine.state.batch).toBe('complete')
  })

  it('in a time of the day that does not pass midnight', () => {
    const engine = talk(when({ kind: 'time of day', from_s: 11 * HOUR_S, to_s: 12 * HOUR_S }))
    engine.start({ 'Probe.beer': 18 })
    engine.tell(3 * HOUR_S - 1)
    expect(engine.state.batch).toBe('running')
    engine.tell(1)
    expect(engine.state.batch).toBe('complete')
  })
})

describe('a condition on the trend of the gravity', () => {
  const fall = (relation: 'at least' | 'at most') =>
    when({ kind: 'fall', relation, rate_per_s: 0.004 / 86_400, over_s: 12 * HOUR_S })

  /** The gravity changes by so many points a day, reported every half an hour. */
  function follow(engine: Conversation, hours: number, points_per_d: number) {
    const from = engine.state.channels[1]!.value ?? 1.04
    for (let n = 1; n <= 2 * hours; n++) {
      engine.tell(1800, { 'Probe.beer': 18, 'Float.gravity': from + (points_per_d * n) / 48_000 })
    }
  }

  it('of a fall that is fast enough', () => {
    const engine = talk(fall('at least'))
    engine.start({ 'Probe.beer': 18, 'Float.gravity': 1.048 })
    follow(engine, 24, -3)
    expect(engine.state.batch).toBe('running')
    follow(engine, 24, -6)
    expect(engine.state.batch).toBe('complete')
  })

  it('of a fall that has become slow; before the window is full nothing is known', () => {
    const engine = talk(fall('at most'))
    engine.start({ 'Probe.beer': 18, 'Float.gravity': 1.048 })
    follow(engine, 11, -2)
    expect(engine.state.batch).toBe('running')
    follow(engine, 3, -2)
    expect(engine.state.batch).toBe('complete')
  })

  it('of a steady gravity: one that falls is not steady, nor one that rises, as by souring or a drifting float', () => {
    for (const points_per_d of [-3, 3]) {
      const engine = talk(when({ kind: 'steady', quantity: 'gravity', within: 0.001, for_s: 24 * HOUR_S }))
      engine.start({ 'Probe.beer': 18, 'Float.gravity': 1.045 })
      follow(engine, 48, points_per_d)
      expect(engine.state.batch).toBe('running')
    }
  })
})
