import { describe, expect, it } from 'vitest'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { PLACE, smallBeer, smallPlan, smallVessel, stage, stageLasted } from './testing/small-house.ts'

/** The watch over what an appliance does to the beer: 0.3 K within three hours are expected here. */
const HOUR_S = 3600
const RESPONSE_S = 3 * HOUR_S

function talk(target_C = 18) {
  const stages = [
    stage({ name: 'Primary', course: { kind: 'hold', target_C }, until: stageLasted(20 * HOUR_S) }),
    stage({ name: 'Second', course: { kind: 'hold', target_C } }),
  ]
  const limits = { lowest_C: -5, highest_C: 40, ifBroken: 'alarm', place: PLACE } as const
  return new Conversation(compile(smallPlan(stages, { limits }), smallVessel(), smallBeer()))
}

/** Heating has warmed the beer from 15 to 15.4 °C; from then on the watch counts from there. */
function warmed() {
  const engine = talk()
  engine.start({ 'Probe.beer': 15 })
  engine.keepTelling(600, 10, { 'Probe.beer': 15.4 })
  return engine
}

describe('a heater that has warmed the beer', () => {
  it('goes on while the beer gets no warmer or a little colder: the vessel is at its limit', () => {
    const engine = warmed()
    engine.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': 14.6 })
    expect(engine.state.heater).toMatchObject({ on: true, lockedOut: false })
  })

  // Three times what is expected of it, the wrong way: 0.9 K. The probe hangs in the air.
  it('is stopped when the temperature runs away by more than a vessel at its limit can lose', () => {
    const engine = warmed()
    engine.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': 14.4 })
    expect(engine.state.heater).toMatchObject({ on: false, lockedOut: true })
  })
})

describe('a cooler that has cooled the beer', () => {
  it('goes on at the limit of the vessel, and is stopped when the temperature runs away upwards', () => {
    const cooled = () => {
      const engine = talk(10)
      engine.start({ 'Probe.beer': 20 })
      engine.keepTelling(600, 10, { 'Probe.beer': 19.6 })
      engine.keepTelling(600, 10, { 'Probe.beer': 19.2 })
      return engine
    }
    const tired = cooled()
    tired.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': 20 })
    expect(tired.state.cooler).toMatchObject({ on: true, lockedOut: false })
    const runaway = cooled()
    runaway.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': 20.2 })
    expect(runaway.state.cooler).toMatchObject({ on: false, lockedOut: true })
  })
})

describe('an appliance without the expected response', () => {
  const dead = () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 16 })
    engine.keepTelling(RESPONSE_S - 10, 10, { 'Probe.beer': 16.2 })
    return engine
  }

  it('is stopped at that very second, and all of it is said', () => {
    const engine = dead()
    expect(engine.state.heater).toMatchObject({ on: true, watchFrom_s: engine.start_s + 1, watchFrom_C: 16 })
    const { events, commands } = engine.tell(11, { 'Probe.beer': 16.2 })
    const at_s = engine.now_s
    // The watch begins a second after the start, when it is clear who measures the beer.
    expect(at_s).toBe(engine.start_s + 1 + RESPONSE_S)
    expect(events).toEqual([
      { kind: 'no response', at_s, appliance: 'heater', after_s: RESPONSE_S, from_C: 16, to_C: 16.2 },
      {
        kind: 'switched',
        at_s,
        appliance: 'heater',
        on: false,
        why: 'no response',
        target_C: 18,
        beer_C: 16.2,
      },
      {
        kind: 'asked',
        at_s,
        question: { id: 1, about: 'no response', stage: 'Primary', text: '', subject: 'heater' },
      },
    ])
    expect(commands).toMatchObject([{ appliance: 'heater', on: false }])
    expect(engine.state.heater).toMatchObject({
      on: false,
      since_s: at_s,
      ranUntil_s: at_s,
      lockedOut: true,
      watchFrom_s: null,
      watchFrom_C: null,
      hasResponded: false,
    })
  })

  it('stays off with its reason, is asked about once, also in the next stage, and runs again at "yes"', () => {
    const engine = dead()
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 16.2 })
    expect(engine.events.at(-1)).toMatchObject({ kind: 'withheld', appliance: 'heater', why: 'no response' })
    expect(engine.state.questions).toHaveLength(1)
    engine.tell(10, { 'Probe.beer': 16.2 }, [{ kind: 'go to', stage: 'Second' }])
    engine.keepTelling(60, 10, { 'Probe.beer': 16.2 })
    expect(engine.state.questions).toMatchObject([{ about: 'no response', stage: 'Primary' }])
    engine.tell(10, { 'Probe.beer': 16.2 }, [], 'not yet')
    expect(engine.state.heater).toMatchObject({ on: false, lockedOut: true })
    engine.keepTelling(25 * HOUR_S, 30, { 'Probe.beer': 16.2 })
    expect(engine.state.questions).toMatchObject([{ about: 'no response', stage: 'Second' }])
    engine.tell(10, { 'Probe.beer': 16.2 }, [], 'yes')
    expect(engine.state.heater).toMatchObject({ on: true, lockedOut: false })
  })

  it('does not stop the other one, nor does a question about the other keep its own from being put', () => {
    const engine = dead()
    engine.keepTelling(20, 10, { 'Probe.beer': 16.2 })
    engine.keepTelling(1600, 10, { 'Probe.beer': 20 })
    expect(engine.state).toMatchObject({
      cooler: { on: true, lockedOut: false },
      heater: { lockedOut: true },
    })
    engine.keepTelling(RESPONSE_S + 20, 10, { 'Probe.beer': 20 })
    expect(engine.state.cooler).toMatchObject({ on: false, lockedOut: true })
    expect(engine.state.questions.map(({ subject }) => subject)).toEqual(['heater', 'cooler'])
  })

  it('is not asked about when the batch has been stopped', () => {
    const engine = dead()
    engine.keepTelling(20, 10, { 'Probe.beer': 16.2 })
    engine.tell(10, { 'Probe.beer': 16.2 }, [], 'not yet')
    engine.tell(10, {}, [{ kind: 'stop' }])
    engine.tell(48 * HOUR_S)
    expect(engine.state.questions).toEqual([])
  })

  it('is not watched where the vessel expects no response in any time', () => {
    const interlocks = { ...smallVessel().interlocks, heaterResponse_s: 0 }
    const plan = smallPlan([stage({ name: 'Primary' })])
    const engine = new Conversation(compile(plan, smallVessel({ interlocks }), smallBeer()))
    engine.start({ 'Probe.beer': 16 })
    engine.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': 16 })
    expect(engine.state.heater).toMatchObject({ on: true, watchFrom_s: null })
  })
})

describe('the watch', () => {
  it('ends when the appliance goes off, and begins anew when it comes on', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 17 })
    engine.keepTelling(2 * HOUR_S, 10, { 'Probe.beer': 17.1 })
    engine.tell(10, { 'Probe.beer': 18.1 })
    expect(engine.state.heater).toMatchObject({ on: false, watchFrom_s: null, watchFrom_C: null })
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 17 })
    expect(engine.state.heater.hasResponded).toBe(false)
    engine.keepTelling(RESPONSE_S - HOUR_S, 10, { 'Probe.beer': 17.1 })
    expect(engine.state.heater).toMatchObject({ on: true, lockedOut: false })
  })

  it('goes on when another instrument takes charge of another quantity', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 16 })
    engine.tell(10, { 'Probe.beer': 16, 'Float.gravity': 1.05 })
    engine.keepTelling(RESPONSE_S, 10, { 'Probe.beer': 16.1 })
    expect(engine.state.heater).toMatchObject({ on: false, lockedOut: true })
  })
})

describe('in a boil', () => {
  const talkBoil = () => {
    const { cooler: _none, ...kettle } = smallVessel()
    const plan = smallPlan([stage({ name: 'Boil', course: { kind: 'boil', power: 1, from_C: 100 } })], {
      side: 'hot side',
      limits: { lowest_C: 0, highest_C: 105, ifBroken: 'alarm', place: PLACE },
    })
    return new Conversation(compile(plan, kettle, smallBeer()))
  }

  it('an element that does not warm the wort to boiling is stopped like any other', () => {
    const engine = talkBoil()
    engine.start({ 'Probe.beer': 60 })
    engine.keepTelling(RESPONSE_S + 20, 10, { 'Probe.beer': 60 })
    expect(engine.state.heater).toMatchObject({ on: false, lockedOut: true })
  })
})
