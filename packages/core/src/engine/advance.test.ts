import { describe, expect, it } from 'vitest'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import {
  gravityAtMost,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
  when,
} from './testing/small-house.ts'

const DAY_S = 86_400
const HOUR_S = 3600

function talk(stages: Parameters<typeof smallPlan>[0], vessel = smallVessel()) {
  return new Conversation(compile(smallPlan(stages), vessel, smallBeer()))
}

describe('stages', () => {
  it('moves on when its condition is true, not before, and ends after the last stage', () => {
    const engine = talk([stage({ name: 'Primary', until: stageLasted(100) })])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(99)
    expect(engine.state.batch).toBe('running')
    engine.tell(1)
    expect(engine.state.batch).toBe('complete')
  })

  it('stays while the condition is unknown, and asks after the time that the plan allows', () => {
    const engine = talk([
      stage({
        name: 'Primary',
        until: gravityAtMost(1.02),
        ifUnknown: { wait_s: 12 * HOUR_S, then: { kind: 'ask' }, place: smallVessel().place },
      }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(12 * HOUR_S - 60, 60, { 'Probe.beer': 18 })
    expect(engine.state.questions).toEqual([])
    engine.keepTelling(120, 60, { 'Probe.beer': 18 })
    expect(engine.state.questions.map(({ about }) => about)).toEqual(['unknown'])
    engine.tell(1, {}, [], 'yes')
    expect(engine.state.batch).toBe('complete')
  })

  it('uses the fallback condition only while the condition is unknown', () => {
    const engine = talk([
      stage({
        name: 'Primary',
        until: gravityAtMost(1.02),
        ifUnknown: {
          wait_s: HOUR_S,
          then: { kind: 'use', instead: stageLasted(DAY_S) },
          place: smallVessel().place,
        },
      }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(DAY_S - 1)
    expect(engine.state.batch).toBe('running')
    engine.tell(1)
    expect(engine.state.batch).toBe('complete')
  })

  it('asks first where the plan says so, and asks again a day after "not yet"', () => {
    const engine = talk([
      stage({ name: 'Primary', until: stageLasted(10), askFirst: true, question: 'Clean?' }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(10)
    expect(engine.state.questions[0]).toMatchObject({ about: 'go on', text: 'Clean?' })
    engine.tell(5, {}, [], 'not yet')
    expect(engine.state.batch).toBe('running')
    expect(engine.state.questions).toEqual([])
    engine.tell(DAY_S - 1)
    expect(engine.state.questions).toEqual([])
    engine.tell(1)
    expect(engine.state.questions).toHaveLength(1)
    engine.tell(1, {}, [], 'yes')
    expect(engine.state.batch).toBe('complete')
  })

  it('holds the batch in a stage until a task with waiting is answered', () => {
    const task = { name: 'Add hops', wait: true, place: smallVessel().place }
    const engine = talk([stage({ name: 'Primary', until: stageLasted(10), tasks: [task] })])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(100)
    expect(engine.state.batch).toBe('running')
    engine.tell(1, {}, [], 'yes')
    expect(engine.state.batch).toBe('complete')
  })

  it('takes a branch before its condition, and another stage when it is late', () => {
    const place = smallVessel().place
    const engine = talk([
      stage({
        name: 'Primary',
        until: stageLasted(1000),
        branches: [
          {
            when: stageLasted(10),
            destination: { kind: 'stage', name: 'Rescue', place },
            askFirst: false,
            place,
          },
        ],
      }),
      stage({ name: 'Crash', until: stageLasted(10) }),
      stage({
        name: 'Rescue',
        atMost_s: 20,
        ifLate: { kind: 'go to', destination: { kind: 'stage', name: 'Crash', place } },
      }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(10)
    expect(engine.stageName).toBe('Rescue')
    engine.tell(19)
    expect(engine.stageName).toBe('Rescue')
    engine.tell(1)
    expect(engine.stageName).toBe('Crash')
  })

  it('counts a rest from the moment when the target was reached', () => {
    const engine = talk([
      stage({
        name: 'Rest',
        course: { kind: 'hold', target_C: 20 },
        until: when({ kind: 'elapsed', since: 'target', atLeast_s: 600 }),
      }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(5000, 10, { 'Probe.beer': 18 })
    engine.tell(10, { 'Probe.beer': 19.6 })
    engine.keepTelling(590, 10, { 'Probe.beer': 19.6 })
    expect(engine.state.batch).toBe('running')
    engine.tell(10)
    expect(engine.state.batch).toBe('complete')
  })

  it('starts a dwell anew when its condition has been false in between', () => {
    const warm = when(
      { kind: 'compare', quantity: 'beer', relation: 'at least', against: { kind: 'value', value: 20 } },
      100,
    )
    const engine = talk([stage({ name: 'Warm', until: warm })])
    engine.start({ 'Probe.beer': 20 })
    engine.keepTelling(90, 10, { 'Probe.beer': 20 })
    engine.tell(5, { 'Probe.beer': 19.9 })
    engine.tell(5, { 'Probe.beer': 20.1 })
    engine.keepTelling(95, 5, { 'Probe.beer': 20.1 })
    expect(engine.state.batch).toBe('running')
    engine.tell(5)
    expect(engine.state.batch).toBe('complete')
  })
})

describe('a free rise', () => {
  for (const method of ['on-off', 'proportional', 'cascade'] as const) {
    it(`neither heats nor cools between its two targets (${method})`, () => {
      const engine = talk([
        stage({ name: 'Rise', course: { kind: 'free rise', cap_C: 24, lowest_C: 18 }, control: { method } }),
      ])
      engine.start({ 'Probe.beer': 21 })
      engine.keepTelling(3 * HOUR_S, 10, { 'Probe.beer': 21 })
      expect(engine.kinds()).not.toContain('switched')
      engine.keepTelling(3 * HOUR_S, 10, { 'Probe.beer': 24.5 })
      expect(engine.state.cooler.on).toBe(true)
    })
  }
})

describe('whom to believe', () => {
  it('falls back to the next instrument when one is silent, and back after three good readings in agreement', () => {
    const engine = talk([stage({ name: 'Primary' })])
    engine.start({ 'Probe.beer': 18, 'Float.beer': 18.4 })
    engine.tell(61)
    expect(engine.events.findLast(({ kind }) => kind === 'in charge')).toMatchObject({
      instrument: 'Float',
      before: 'Probe',
    })
    engine.tell(10, { 'Probe.beer': 18.1 })
    engine.tell(10, { 'Probe.beer': 18.1 })
    expect(engine.program.channels[engine.state.inCharge[0]!]!.instrument).toBe('Float')
    engine.tell(10, { 'Probe.beer': 18.1 })
    expect(engine.program.channels[engine.state.inCharge[0]!]!.instrument).toBe('Probe')
  })

  it('does not take back an instrument that contradicts the one in charge', () => {
    const engine = talk([stage({ name: 'Primary' })])
    engine.start({ 'Probe.beer': 18, 'Float.beer': 18.4 })
    engine.tell(61)
    engine.keepTelling(600, 10, { 'Probe.beer': 12 })
    expect(engine.program.channels[engine.state.inCharge[0]!]!.instrument).toBe('Float')
  })

  it('does not believe a float that lies on the bench at the start of a batch', () => {
    const engine = talk([stage({ name: 'Primary', until: gravityAtMost(1.022) })])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(6 * HOUR_S, 1800, { 'Probe.beer': 18, 'Float.gravity': 1.0 })
    expect(engine.state.batch).toBe('running')
    expect(engine.kinds()).toContain('instrument lost')
  })

  it('says so when two instruments differ, once', () => {
    const engine = talk([stage({ name: 'Primary' })])
    engine.start({ 'Probe.beer': 18, 'Float.beer': 21 })
    for (let report = 0; report < 5; report++) {
      engine.keepTelling(1800, 10, { 'Probe.beer': 18 })
      engine.tell(1, { 'Float.beer': 21 })
    }
    expect(engine.kinds().filter(kind => kind === 'disagree')).toHaveLength(1)
    engine.tell(10, { 'Probe.beer': 18, 'Float.beer': 18.5 })
    expect(engine.kinds().filter(kind => kind === 'agree')).toHaveLength(1)
  })

  it('does not call a slow float that lags behind a ramp a contradiction', () => {
    const engine = talk([stage({ name: 'Crash' })])
    engine.start({ 'Probe.beer': 18, 'Float.beer': 18 })
    for (let report = 1; report <= 6; report++) {
      engine.keepTelling(1740, 10, { 'Probe.beer': 18 - report * 2.1 })
      engine.tell(10, { 'Probe.beer': 18 - report * 2.1, 'Float.beer': 18 - report * 2.1 + 0.5 })
    }
    expect(engine.kinds()).not.toContain('disagree')
  })
})

describe('interlocks', () => {
  it('lets a compressor rest, also at the start and after a restart of the software', () => {
    const engine = talk([stage({ name: 'Primary' })])
    engine.start({ 'Probe.beer': 20 })
    expect(engine.last!.events.find(({ kind }) => kind === 'withheld')).toMatchObject({
      appliance: 'cooler',
      why: 'rest',
    })
    expect(engine.last!.stands.until_s).toBeLessThanOrEqual(engine.start_s + 300)
    engine.keepTelling(300, 10, { 'Probe.beer': 20 })
    expect(engine.state.cooler.on).toBe(true)
    engine.state = JSON.parse(JSON.stringify(engine.state))
    engine.tell(20, {}, [{ kind: 'restarted' }])
    expect(engine.state.cooler.on).toBe(false)
    engine.keepTelling(290, 10, { 'Probe.beer': 20 })
    expect(engine.state.cooler.on).toBe(false)
    engine.keepTelling(10, 10, { 'Probe.beer': 20 })
    expect(engine.state.cooler.on).toBe(true)
  })

  it('switches everything off while the temperature is unknown', () => {
    const vessel = smallVessel({ instruments: [smallVessel().instruments[0]!] })
    const engine = talk([stage({ name: 'Primary' })], vessel)
    engine.start({ 'Probe.beer': 16 })
    expect(engine.state.heater.on).toBe(true)
    const { commands, events } = engine.tell(60)
    expect(commands).toMatchObject([{ appliance: 'heater', on: false }])
    expect(events.at(-1)).toMatchObject({ kind: 'switched', why: 'beer temperature unknown' })
  })

  it('stops a heater that does not warm the beer, and tries again when the brewer says so', () => {
    const engine = talk([stage({ name: 'Primary' })])
    engine.start({ 'Probe.beer': 16 })
    engine.keepTelling(3 * HOUR_S - 10, 10, { 'Probe.beer': 16.1 })
    expect(engine.state.heater.on).toBe(true)
    engine.keepTelling(30, 10, { 'Probe.beer': 16.1 })
    expect(engine.state.heater).toMatchObject({ on: false, lockedOut: true })
    engine.tell(10, { 'Probe.beer': 16.1 }, [], 'yes')
    expect(engine.state.heater.on).toBe(true)
  })

  it('lets a heater go on that has warmed the beer and now only holds it, but not when the probe runs away', () => {
    const engine = talk([stage({ name: 'Primary' })])
    engine.start({ 'Probe.beer': 16 })
    engine.keepTelling(600, 10, { 'Probe.beer': 16.5 })
    engine.keepTelling(4 * HOUR_S, 10, { 'Probe.beer': 16.5 })
    expect(engine.state.heater).toMatchObject({ on: true, lockedOut: false })
    engine.keepTelling(6 * HOUR_S, 10, { 'Probe.beer': 14 })
    expect(engine.state.heater).toMatchObject({ on: false, lockedOut: true })
  })

  it('renews a lease before it lapses', () => {
    const engine = talk([stage({ name: 'Primary' })])
    const first = engine.start({ 'Probe.beer': 16 }).commands[0]!
    let until_s = first.until_s
    for (let i = 0; i < 400; i++) {
      for (const command of engine.tell(10, { 'Probe.beer': 16 + i * 0.004 }).commands) {
        expect(command).toMatchObject({ appliance: 'heater', on: true })
        expect(engine.now_s).toBeLessThan(until_s)
        until_s = command.until_s
      }
      expect(engine.now_s).toBeLessThan(until_s)
    }
  })
})
