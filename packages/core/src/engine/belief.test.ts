import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { conditionsOf } from '../alarms/conditions-of.ts'
import { advance } from './advance.ts'
import { awaitedUntil_s } from './belief.ts'
import { compile } from './compile.ts'
import { initialState } from './initial.ts'
import { Conversation } from './testing/conversation.ts'
import {
  channel,
  instrument,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  when,
} from './testing/small-house.ts'

const HOUR_S = 3600

function talk(every_s: number, byHand = false) {
  const probe = { ...instrument('Probe', every_s, [channel({ quantity: 'beer', step: 3 })]), byHand }
  const vessel = smallVessel({ instruments: [probe] })
  return new Conversation(compile(smallPlan([stage({ name: 'Primary' })]), vessel, smallBeer()))
}

const isKnown = (engine: Conversation) => engine.state.inCharge[engine.program.beer]! >= 0
const runs = (engine: Conversation) => engine.state.heater.on || engine.state.cooler.on

const INTERVALS_S = [5, 10, 60, 600, 1800, 3600]

describe.each(INTERVALS_S)('a thermometer that reports every %d s', every_s => {
  it('is believed with the second reading: after the start, and after a restart', () => {
    const engine = talk(every_s)
    engine.start()
    engine.tell(every_s, { 'Probe.beer': 20 })
    expect(isKnown(engine)).toBe(false)
    engine.tell(every_s, { 'Probe.beer': 20.1 })
    expect(isKnown(engine)).toBe(true)
    engine.keepTelling(2 * HOUR_S, every_s, { 'Probe.beer': 20.1 })
    expect(runs(engine)).toBe(true)
    engine.tell(every_s, { 'Probe.beer': 20.1 }, [{ kind: 'restarted' }])
    expect([isKnown(engine), runs(engine)]).toEqual([false, false])
    engine.tell(every_s, { 'Probe.beer': 20.1 })
    expect([isKnown(engine), runs(engine)]).toEqual([false, false])
    // Nobody is called as long as the next reading is on its way.
    expect(conditionsOf(engine.program, engine.state)).toEqual([])
    engine.tell(every_s, { 'Probe.beer': 20.1 })
    expect(isKnown(engine)).toBe(true)
  })

  it.each([
    ['85.0 °C, what a chip says before it has measured', 85],
    ['-20 °C', -20],
    ['60 °C', 60],
  ])('is not believed with %s, at the start and after a restart, however often it says so', (_, odd_C) => {
    // Seen: both were believed, and the cooler ran for six hours.
    const engine = talk(every_s)
    engine.start()
    for (let passed_s = 0; passed_s < 24 * HOUR_S; passed_s += every_s * 20) {
      engine.keepTelling(20 * every_s, every_s, { 'Probe.beer': odd_C })
      expect([isKnown(engine), runs(engine)]).toEqual([false, false])
    }
    expect(engine.events).toContainEqual(
      expect.objectContaining({ kind: 'instrument lost', why: 'implausible', value: odd_C }),
    )
    expect(conditionsOf(engine.program, engine.state).map(({ code }) => code)).toContain(
      'beer-temperature-unknown',
    )
    engine.keepTelling(4 * every_s, every_s, { 'Probe.beer': 18 })
    expect(isKnown(engine)).toBe(true)
    engine.tell(every_s, { 'Probe.beer': 18 }, [{ kind: 'restarted' }])
    engine.keepTelling(10 * every_s, every_s, { 'Probe.beer': odd_C })
    expect([isKnown(engine), runs(engine)]).toEqual([false, false])
  })

  it('that begins to say such a thing in the middle of a batch is not followed', () => {
    for (const odd_C of [85, -20]) {
      const engine = talk(every_s)
      engine.start({ 'Probe.beer': 18 })
      engine.keepTelling(5 * every_s, every_s, { 'Probe.beer': 18 })
      engine.keepTelling(24 * HOUR_S, every_s, { 'Probe.beer': odd_C })
      expect([odd_C, isKnown(engine), runs(engine)]).toEqual([odd_C, false, false])
      engine.keepTelling(4 * every_s, every_s, { 'Probe.beer': 18 })
      expect(isKnown(engine)).toBe(true)
    }
  })

  it('that really is where no beer should be proves it by going on to measure', () => {
    // A heater's relay that stuck on while the software was away: the limit's alarm must come.
    const engine = talk(every_s)
    engine.start()
    const hot = (n: number) => 46 + (n % 3) / 8
    let readings = 0
    while (!isKnown(engine) && readings < 1000) engine.tell(every_s, { 'Probe.beer': hot(readings++) })
    expect(isKnown(engine)).toBe(true)
    expect(readings).toBeGreaterThanOrEqual(4)
    expect((readings - 1) * every_s).toBeGreaterThanOrEqual(600)
    expect(readings).toBeLessThanOrEqual(Math.ceil(600 / every_s) + 4)
    expect(engine.state.limitBroken).toBe('highest')
  })
})

describe('a thermometer', () => {
  it('that has jumped to where the beer cannot be so soon is believed when the beer could have come there', () => {
    const engine = talk(10)
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(60, 10, { 'Probe.beer': 18 })
    const from_s = engine.now_s
    while (!isKnown(engine) || engine.now_s === from_s) {
      engine.tell(10, { 'Probe.beer': 25 })
      expect(engine.now_s - from_s).toBeLessThan(2 * HOUR_S)
    }
    // 7 K, of which 3 K may be a step, and the vessel's most is some 10 to 15 K/h.
    expect(engine.now_s - from_s).toBeGreaterThan(600)
  })

  it('that is read by hand is believed at its word', () => {
    const engine = talk(12 * HOUR_S, true)
    engine.start()
    engine.tell(60, { 'Probe.beer': 18.5 })
    expect(isKnown(engine)).toBe(true)
  })

  it('is not proven after a restart by what was on its way before', () => {
    const engine = talk(10)
    engine.start({ 'Probe.beer': 18 })
    const restart_s = engine.start_s + 3600
    const now_s = restart_s + 60
    const late = [20, 10, 5].map(before_s => ({ channel: 0, value: 18, at_s: restart_s - before_s }))
    const taken = advance(engine.program, engine.state, {
      now_s: restart_s,
      readings: [],
      answers: [],
      edits: [{ kind: 'restarted' }],
    })
    const after = advance(engine.program, taken.state, { now_s, readings: late, answers: [], edits: [] })
    expect(after.state.channels[0]).toMatchObject({ value: 18, trusted: false, run: 0 })
  })

  it('on the hot side may pass 85.0 °C as any other temperature', () => {
    const { cooler: _, ...kettle } = smallVessel()
    const vessel = {
      ...kettle,
      heater: { ...kettle.heater!, power_W: { value: 3000, sd: 0 } },
      instruments: [instrument('Probe', 10, [channel({ quantity: 'beer', step: 3 })])],
    }
    const plan = smallPlan([stage({ name: 'Boil', course: { kind: 'boil', power: 1, from_C: 100 } })], {
      side: 'hot side',
      limits: { lowest_C: 0, highest_C: 105, ifBroken: 'alarm', place: PLACE },
    })
    const engine = new Conversation(compile(plan, vessel, smallBeer()))
    engine.start({ 'Probe.beer': 84 })
    for (const beer_C of [84.5, 84.75, 85, 85, 85.25]) {
      engine.tell(10, { 'Probe.beer': beer_C })
      expect([beer_C, isKnown(engine)]).toEqual([beer_C, true])
    }
  })
})

describe('a dwell', () => {
  it('goes on through a restart, although the temperature is unknown until it has been read again', () => {
    const until = when({ kind: 'near target', within_K: 1 }, 6 * HOUR_S)
    const vessel = smallVessel({ instruments: [instrument('Probe', 10, [channel({ quantity: 'beer' })])] })
    const plan = smallPlan([stage({ name: 'One', until }), stage({ name: 'Two' })])
    const engine = new Conversation(compile(plan, vessel, smallBeer()))
    engine.start({ 'Probe.beer': 18 })
    for (let hour = 0; hour < 5; hour++) {
      engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 18 })
      engine.tell(10, { 'Probe.beer': 18 }, [{ kind: 'restarted' }])
    }
    engine.keepTelling(HOUR_S + 60, 10, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('Two')
  })

  it('begins anew when the thermometer does not come back in time', () => {
    const until = when({ kind: 'near target', within_K: 1 }, 2 * HOUR_S)
    const vessel = smallVessel({ instruments: [instrument('Probe', 10, [channel({ quantity: 'beer' })])] })
    const plan = smallPlan([stage({ name: 'One', until }), stage({ name: 'Two' })])
    const engine = new Conversation(compile(plan, vessel, smallBeer()))
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 18 })
    engine.tell(10, {}, [{ kind: 'restarted' }])
    engine.tell(600)
    engine.keepTelling(HOUR_S + 60, 10, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('One')
  })
})

it('whatever a chip says, nothing runs on readings that are 85.0 °C or of which each contradicts the one before', () => {
  let judged = 0
  const reading = fc.record({
    after_s: fc.constantFrom(10, 20, 60, 600),
    // Multiples of 7 K: each pair of different ones lies further apart than a step.
    value: fc.oneof(
      fc.constant(85),
      fc.integer({ min: -3, max: 17 }).map(n => 7 * n + 0.5),
    ),
    restarts: fc.boolean(),
  })
  fc.assert(
    fc.property(fc.array(reading, { minLength: 20, maxLength: 60 }), readings => {
      const engine = talk(600)
      engine.start()
      let last = Number.NaN
      for (const { after_s, value, restarts } of readings) {
        if (value === last && value !== 85) continue
        last = value
        engine.tell(after_s, { 'Probe.beer': value }, restarts ? [{ kind: 'restarted' }] : [])
        expect(runs(engine)).toBe(false)
        judged++
      }
    }),
    { numRuns: 100 },
  )
  expect(judged).toBeGreaterThan(1000)
})

it('a state of an older version is taken up as it is: what was believed is', () => {
  const { program } = talk(10)
  const { restartedAt_s: _, ...older } = initialState(program)
  const channels = older.channels.map(({ row: _row, sure: _sure, ...each }) => ({
    ...each,
    value: 18,
    at_s: 1000,
    trusted: true,
  }))
  const state = { ...older, batch: 'running', startedAt_s: 0, channels, inCharge: [0] } as const
  const readings = [{ channel: 0, value: 18.1, at_s: 1010 }]
  const { state: after } = advance(program, state, { now_s: 1010, readings, answers: [], edits: [] })
  expect(after.channels[0]).toMatchObject({ value: 18.1, trusted: true })
  expect(awaitedUntil_s(program, after, 0)).toBeNull()
})
