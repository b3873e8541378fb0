import { describe, expect, it } from 'vitest'
import type { Stage } from '../plan/plan.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { PLACE, smallBeer, smallPlan, smallVessel, stage, stageLasted } from './testing/small-house.ts'

/** When each appliance goes on and off, to the second, and what is said of it. */
const HOUR_S = 3600
const RESPONSE_S = 3 * HOUR_S

function talk(stages: readonly Stage[] = [stage({ name: 'Primary' })], vessel = smallVessel()) {
  const limits = { lowest_C: 10, highest_C: 20, ifBroken: 'alarm', place: PLACE } as const
  return new Conversation(compile(smallPlan(stages, { limits }), vessel, smallBeer()))
}

const switched = (engine: Conversation) =>
  engine.events.flatMap(event =>
    event.kind === 'switched' ? [[event.appliance, event.on, event.why, event.at_s - engine.start_s]] : [],
  )
const withheld = (engine: Conversation) =>
  engine.events.flatMap(event =>
    event.kind === 'withheld'
      ? [[event.appliance, event.why, event.until_s && event.until_s - engine.start_s]]
      : [],
  )

/** The compressor rests for 300 s from the start, and then runs. */
function cooling(vessel = smallVessel()) {
  const engine = talk([stage({ name: 'Primary' })], vessel)
  engine.start({ 'Probe.beer': 19 })
  engine.keepTelling(300, 10, { 'Probe.beer': 19 })
  expect(engine.state.cooler.on).toBe(true)
  return engine
}

describe('a heater', () => {
  it('goes on and off at the edges of the hysteresis, and each is said with its reason', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 17.5 })
    engine.keepTelling(300, 10, { 'Probe.beer': 17.9 })
    engine.tell(10, { 'Probe.beer': 18 })
    expect(switched(engine)).toEqual([
      ['heater', true, 'controller', 0],
      ['heater', false, 'controller', 310],
    ])
    expect(engine.state.heater).toMatchObject({ on: false, since_s: engine.now_s, ranUntil_s: engine.now_s })
  })
})

describe('a compressor', () => {
  it('rests at first, runs for its least time to the very second, and then goes off', () => {
    const engine = cooling()
    engine.tell(10, { 'Probe.beer': 18 })
    for (let n = 0; n < 40; n++) engine.tell(7, { 'Probe.beer': 18 })
    expect(withheld(engine)).toEqual([['cooler', 'rest', 300]])
    expect(switched(engine)).toEqual([
      ['cooler', true, 'controller', 300],
      ['cooler', false, 'controller', 480],
    ])
  })

  it('goes off at the very second for which it may stop, when it is asked just then', () => {
    const engine = cooling()
    engine.keepTelling(170, 10, { 'Probe.beer': 18 })
    expect(engine.state.cooler.on).toBe(true)
    engine.tell(10, { 'Probe.beer': 18 })
    expect(engine.state.cooler.on).toBe(false)
  })

  it('goes off at once, whatever its least time is, when the batch is stopped', () => {
    for (const kind of ['stop', 'abort'] as const) {
      const engine = cooling()
      const { commands } = engine.tell(10, {}, [{ kind }])
      expect(switched(engine).at(-1)).toEqual(['cooler', false, 'batch not running', 310])
      expect(commands).toMatchObject([{ appliance: 'cooler', on: false }])
      engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 19.5 })
      expect(engine.state).toMatchObject({ cooler: { on: false, withheld: null }, heater: { on: false } })
    }
  })

  it('waits out the changeover after the heater, and that is said with its end', () => {
    const vessel = smallVessel({ interlocks: { ...smallVessel().interlocks, lease_s: 60 } })
    const engine = talk([stage({ name: 'Primary' })], vessel)
    engine.start({ 'Probe.beer': 17.5 })
    engine.keepTelling(400, 10, { 'Probe.beer': 17.9 })
    // The lease of the heater was renewed at 390 s: should its "off" get lost, it runs until 450 s, and only then is it surely off.
    engine.keepTelling(650, 10, { 'Probe.beer': 19 })
    expect(withheld(engine)).toEqual([['cooler', 'changeover', 1050]])
    expect(switched(engine).slice(1)).toEqual([
      ['heater', false, 'controller', 410],
      ['cooler', true, 'controller', 1050],
    ])
  })

  it('that is no longer wanted is no longer withheld; wanted again, that is said again', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 19 })
    expect(engine.state.cooler.withheld).toBe('rest')
    engine.keepTelling(50, 10, { 'Probe.beer': 18 })
    expect(engine.state.cooler.withheld).toBe(null)
    engine.keepTelling(50, 10, { 'Probe.beer': 19 })
    expect(withheld(engine)).toEqual([
      ['cooler', 'rest', 300],
      ['cooler', 'rest', 300],
    ])
  })
})

describe('a lease that lapses', () => {
  /** Nobody calls the engine until so many seconds after the lease has lapsed. */
  function lapsed(after_s: number) {
    const engine = cooling()
    const lapse_s = engine.state.cooler.leaseUntil_s!
    engine.last = null
    engine.tell(lapse_s + after_s - engine.now_s, { 'Probe.beer': 19 })
    return { engine, lapse_s }
  }

  it('is noted at its very second, as what has happened then, and the watch is over', () => {
    const { engine, lapse_s } = lapsed(0)
    expect(engine.events).toContainEqual(
      expect.objectContaining({ kind: 'switched', appliance: 'cooler', on: false, why: 'lapsed' }),
    )
    expect(engine.state.cooler).toMatchObject({
      on: false,
      since_s: lapse_s,
      ranUntil_s: lapse_s,
      watchFrom_s: null,
    })
  })

  it('is not noted a second before', () => {
    const { engine } = lapsed(-1)
    expect(switched(engine).map(([, , why]) => why)).not.toContain('lapsed')
  })
})

describe('an appliance that was stopped for want of a response', () => {
  it('is a cooler that runs again when the brewer says so', () => {
    const engine = cooling()
    engine.keepTelling(RESPONSE_S + 20, 10, { 'Probe.beer': 19 })
    expect(engine.state.cooler).toMatchObject({ on: false, lockedOut: true })
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 19 })
    engine.tell(10, { 'Probe.beer': 19 }, [], 'yes')
    expect(engine.state.cooler).toMatchObject({ on: true, lockedOut: false })
  })

  // The subject of a branch's question is a stage, and nothing keeps a brewer from calling a stage 'heater'.
  it('is asked about although another question has the same word as its subject', () => {
    const to = { kind: 'stage', name: 'heater', place: PLACE } as const
    const branch = { when: stageLasted(10), destination: to, askFirst: true, place: PLACE }
    const engine = talk([stage({ name: 'Primary', branches: [branch] }), stage({ name: 'heater' })])
    engine.start({ 'Probe.beer': 16 })
    engine.keepTelling(RESPONSE_S + 20, 10, { 'Probe.beer': 16 })
    expect(engine.state.questions.map(({ about }) => about)).toEqual(['branch', 'no response'])
  })
})

describe('the watch over the response', () => {
  it('does not count while the appliance is withheld: what does not run cannot respond', () => {
    const engine = talk([stage({ name: 'Primary', course: { kind: 'hold', target_C: 22 } })])
    engine.start({ 'Probe.beer': 20 })
    engine.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': 20 })
    expect(engine.state.heater).toMatchObject({
      on: false,
      withheld: 'highest limit',
      lockedOut: false,
      watchFrom_s: null,
    })
  })

  it('does not count while a proportioned output asks for less than all', () => {
    const control = { method: 'proportional', gain_per_K: 0.5, integral_s: 0 } as const
    const engine = talk([stage({ name: 'Primary', control })])
    engine.start({ 'Probe.beer': 17 })
    engine.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': 17 })
    expect(switched(engine).length).toBeGreaterThan(10)
    expect(engine.state.heater).toMatchObject({ lockedOut: false, watchFrom_s: null })
  })

  it('goes on when a second thermometer fails, which was not in charge', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 16, 'Float.beer': 16 })
    // The float is silent from now on, and is lost in the middle of the watch.
    engine.keepTelling(RESPONSE_S + 10, 10, { 'Probe.beer': 16.1 })
    expect(engine.kinds()).toContain('instrument lost')
    expect(engine.state.heater).toMatchObject({ on: false, lockedOut: true })
  })
})
