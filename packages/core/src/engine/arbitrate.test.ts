import { describe, expect, it } from 'vitest'
import type { Stage } from '../plan/plan.ts'
import { advance } from './advance.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { smallBeer, smallPlan, smallVessel, stage } from './testing/small-house.ts'

const HOUR_S = 3600

function talk(part: Partial<Stage> = {}) {
  return new Conversation(
    compile(smallPlan([stage({ name: 'Primary', ...part })]), smallVessel(), smallBeer()),
  )
}

/** Nothing is controlled, so that no edge of a hysteresis hides the bounds that come from arbitration. */
const ALONE = { course: { kind: 'leave alone' } } as const

const inCharge = (engine: Conversation) => {
  const { program, state } = engine
  const channel = state.inCharge[program.beer]!
  return channel < 0 ? null : program.channels[channel]!.instrument
}

describe('an instrument that was lost', () => {
  it('is not believed for readings that are old by now, when the last other one fails too', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18, 'Float.beer': 18.4 })
    engine.tell(61)
    // Back with many good readings, but they contradict the float; then silent again.
    engine.keepTelling(600, 10, { 'Probe.beer': 12 })
    expect(inCharge(engine)).toBe('Float')
    engine.tell(24 * HOUR_S)
    expect(inCharge(engine)).toBe(null)
    expect(engine.state.heater.on).toBe(false)
  })
})

describe('two instruments that differed', () => {
  it('agree again only well inside of what is allowed, so that noise does not ring the bell at each reading', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18, 'Float.beer': 20.5 })
    const report = (float_C: number) => {
      engine.keepTelling(1790, 10, { 'Probe.beer': 18 })
      engine.tell(10, { 'Probe.beer': 18, 'Float.beer': float_C })
    }
    for (let n = 0; n < 5; n++) report(20.5)
    expect(engine.kinds()).toContain('disagree')
    // Allowed are 2 °C; 80 % of it is 1.6 °C.
    report(19.9)
    expect(engine.kinds()).not.toContain('agree')
    report(19.5)
    expect(engine.kinds()).toContain('agree')
  })
})

describe('two instruments that differed for a moment only', () => {
  it('are not said to agree again: nobody was told that they differed', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18, 'Float.beer': 20.5 })
    engine.keepTelling(600, 10, { 'Probe.beer': 18 })
    engine.tell(10, { 'Probe.beer': 18, 'Float.beer': 18.2 })
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 18 })
    expect(engine.kinds()).not.toContain('disagree')
    expect(engine.kinds()).not.toContain('agree')
  })
})

describe('the watch over a heater', () => {
  it('counts anew when another instrument takes charge: its readings say nothing about those before', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 16, 'Float.beer': 16 })
    for (let n = 0; n < 5; n++) {
      engine.keepTelling(1790, 10, { 'Probe.beer': 16.1 })
      engine.tell(10, { 'Probe.beer': 16.1, 'Float.beer': 16.1 })
    }
    expect(engine.state.heater.on).toBe(true)
    // From now on the probe is silent, half an hour before the three hours of the watch are over.
    engine.keepTelling(HOUR_S, 1800, { 'Float.beer': 16.1 })
    expect(inCharge(engine)).toBe('Float')
    expect(engine.state.heater).toMatchObject({ on: true, lockedOut: false })
    engine.keepTelling(3 * HOUR_S, 1800, { 'Float.beer': 16.1 })
    expect(engine.state.heater).toMatchObject({ on: false, lockedOut: true })
  })
})

describe('an instrument that has become slower than its timeout', () => {
  it('stays lost: readings with silences between them are not good readings in a row', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18, 'Float.gravity': 1.048 })
    for (let report = 0; report < 12; report++) engine.tell(2.5 * HOUR_S, { 'Float.gravity': 1.047 })
    expect(engine.kinds().filter(kind => kind === 'instrument back')).toEqual([])
  })

  it('whose clock is ahead is believed at the time at which it is heard, and its next readings too', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18 })
    const ahead = (value: number) => ({ channel: 0, value, at_s: engine.now_s + HOUR_S })
    const told = (after_s: number, value: number) => {
      engine.now_s += after_s
      const inputs = { now_s: engine.now_s, readings: [ahead(value)], answers: [], edits: [] }
      engine.state = advance(engine.program, engine.state, inputs).state
    }
    told(10, 18.1)
    told(10, 18.2)
    expect(engine.state.channels[0]).toMatchObject({ value: 18.2, at_s: engine.now_s })
  })
})

describe('an instrument that has earned its way back but for its agreement', () => {
  it('is looked at again when the one in charge moves towards it: the answer stands only until then', () => {
    const engine = talk(ALONE)
    engine.start({ 'Probe.beer': 18, 'Float.beer': 18 })
    engine.keepTelling(2 * HOUR_S, 10, { 'Probe.beer': 18 })
    for (let report = 0; report < 4; report++) {
      engine.keepTelling(1790, 10, { 'Probe.beer': 18 })
      engine.tell(10, { 'Probe.beer': 18, 'Float.beer': 20.5 })
    }
    expect(engine.kinds()).not.toContain('instrument back')
    expect(engine.last!.stands.upper[0]).toBe(18.5)
    expect(engine.tell(10, { 'Probe.beer': 18.4 }).events).toEqual([])
    engine.tell(10, { 'Probe.beer': 18.5 })
    expect(engine.kinds()).toContain('instrument back')
  })
})

describe('an instrument that has fallen silent while it was earning its way back', () => {
  // The float contradicted the probe with good readings, and then fell silent. Hours later the probe comes to what it said.
  it('does not come back by agreeing with readings that are old by now', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18, 'Float.beer': 18 })
    engine.keepTelling(3 * HOUR_S, 10, { 'Probe.beer': 18 })
    for (let report = 0; report < 4; report++) {
      engine.keepTelling(1790, 10, { 'Probe.beer': 18 })
      engine.tell(10, { 'Probe.beer': 18, 'Float.beer': 21 })
    }
    engine.keepTelling(3 * HOUR_S, 10, { 'Probe.beer': 18 })
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 20.9 })
    expect(engine.kinds()).not.toContain('instrument back')
    expect(engine.state.channels[2]).toMatchObject({ trusted: false })
  })

  it('is looked at again when the one in charge falls towards it, too', () => {
    const engine = talk(ALONE)
    engine.start({ 'Probe.beer': 18, 'Float.beer': 18 })
    engine.keepTelling(2 * HOUR_S, 10, { 'Probe.beer': 18 })
    for (let report = 0; report < 4; report++) {
      engine.keepTelling(1790, 10, { 'Probe.beer': 18 })
      engine.tell(10, { 'Probe.beer': 18, 'Float.beer': 15.5 })
    }
    expect(engine.last!.stands.lower[0]).toBe(17.5)
    expect(engine.tell(10, { 'Probe.beer': 17.6 }).events).toEqual([])
    expect(engine.tell(10, { 'Probe.beer': 17.5 }).events).toMatchObject([
      { kind: 'instrument back', instrument: 'Float', quantity: 'beer', value: 15.5 },
    ])
  })
})
