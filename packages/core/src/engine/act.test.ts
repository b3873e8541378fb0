import { describe, expect, it } from 'vitest'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { ON_OFF, PLACE, smallBeer, smallPlan, smallVessel, stage } from './testing/small-house.ts'

const HOUR_S = 3600
const PROBE = 0

/** A batch that has been at its target of 18 °C for an hour. */
function heldAt18(highest_C: number) {
  const control = { ...ON_OFF, heatStart_K: 0.3, heatStop_K: 0.1 }
  const primary = stage({ name: 'Primary', course: { kind: 'hold', target_C: 18 }, control })
  const limits = { lowest_C: 0, highest_C, ifBroken: 'alarm', place: PLACE } as const
  const engine = new Conversation(compile(smallPlan([primary], { limits }), smallVessel(), smallBeer()))
  engine.start({ 'Probe.beer': 18 })
  engine.keepTelling(HOUR_S, 30, { 'Probe.beer': 18 })
  return engine
}

it('knows at once until when what it has just switched stays on', () => {
  const engine = heldAt18(24)
  const { stands } = engine.tell(10, { 'Probe.beer': 17.6 })
  expect(engine.state.heater.on).toBe(true)
  // The other edge of the hysteresis, half of the lease, and the look whether the probe stands still.
  expect(stands.upper[PROBE]).toBeCloseTo(17.9, 9)
  expect(stands.until_s).toBe(engine.now_s + 450)
  expect(stands.decidedUntil_s).toBe(engine.now_s + HOUR_S)
})

it('looks again a second later when something else has come up with it', () => {
  const engine = heldAt18(18.2)
  const { stands } = engine.tell(10, { 'Probe.beer': 18.4 })
  expect(engine.state.cooler.on).toBe(true)
  expect(engine.state.limitBroken).toBe('highest')
  expect(stands.until_s).toBe(engine.now_s + 1)
})

describe('the next second needs no call of its own', () => {
  it('after a heater that goes off, and a compressor that goes on', () => {
    const engine = heldAt18(24)
    engine.tell(10, { 'Probe.beer': 17.6 })
    const off = engine.tell(10, { 'Probe.beer': 17.95 })
    expect(engine.state.heater.on).toBe(false)
    expect(off.stands.until_s).toBeGreaterThan(engine.now_s + 1)
    const cooled = heldAt18(24)
    const on = cooled.tell(10, { 'Probe.beer': 18.4 })
    expect(cooled.state.cooler.on).toBe(true)
    expect(on.stands.until_s).toBe(cooled.now_s + 450)
  })

  it('after a wish that cannot be fulfilled yet, nor when it is given up', () => {
    const engine = new Conversation(
      compile(smallPlan([stage({ name: 'Primary' })]), smallVessel(), smallBeer()),
    )
    engine.start({ 'Probe.beer': 18 })
    const wished = engine.tell(10, { 'Probe.beer': 18.4 })
    expect(engine.state).toMatchObject({
      controller: { wantCool: true },
      cooler: { on: false, withheld: 'rest' },
    })
    expect(wished.stands.until_s).toBe(engine.start_s + 300)
    const givenUp = engine.tell(10, { 'Probe.beer': 17.9 })
    expect(engine.state.controller.wantCool).toBe(false)
    expect(givenUp.stands.until_s).toBeGreaterThan(engine.now_s + 1)
  })

  it('after a sample of a controller that changes nothing for the appliances', () => {
    const control = { ...ON_OFF, method: 'proportional' } as const
    const plan = smallPlan([stage({ name: 'Primary', control })])
    const engine = new Conversation(compile(plan, smallVessel(), smallBeer()))
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(60, 10, { 'Probe.beer': 18 })
    for (let n = 0; n < 100 && engine.state.controller.windowFrom_s !== engine.now_s; n++)
      engine.tell(10, { 'Probe.beer': 18 })
    expect(engine.last!.stands.decidedUntil_s).toBe(engine.now_s + 600)
  })

  it('after a thermostat that is set', () => {
    const thermostat = {
      follows: 'beer',
      hysteresis_K: 0.5,
      lowest_C: 2,
      highest_C: 30,
      resolution_K: 0.1,
      whenUnheard: 'off',
      bias: { value: 0, sd: 0 },
      lag_s: 60,
      lostCommands: 0,
      place: PLACE,
    } as const
    const to = (name: string, target_C: number) => stage({ name, course: { kind: 'hold', target_C } })
    const plan = smallPlan([to('One', 18), to('Two', 18.2)])
    const engine = new Conversation(compile(plan, smallVessel({ thermostat }), smallBeer()))
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(60, 10, { 'Probe.beer': 18 })
    engine.tell(10, { 'Probe.beer': 18 }, [{ kind: 'go to', stage: 'Two' }])
    engine.tell(1)
    expect(engine.state.thermostat?.set_C).toBe(18.2)
    expect(engine.last!.stands.until_s).toBeGreaterThan(engine.now_s + 1)
  })
})

describe('the next second is looked at when something is due in it', () => {
  // The probe falls silent: the float takes charge, and a second later the watch counts from what that says.
  it.each([
    ['heater', 14],
    ['cooler', 22],
  ] as const)('so that the watch over the %s counts anew from then', (name, beer_C) => {
    const engine = heldAt18(40)
    engine.keepTelling(400, 10, { 'Probe.beer': beer_C, 'Float.beer': beer_C })
    expect(engine.state[name].on).toBe(true)
    const silent_s = engine.now_s + 60
    engine.tell(60)
    expect(engine.state[name]).toMatchObject({ on: true, watchFrom_s: null })
    expect(engine.last!.stands.until_s).toBe(silent_s + 1)
    engine.tell(30)
    expect(engine.state[name].watchFrom_s).toBe(silent_s + 1)
  })

  it('so that a controller is sampled in time, a second after the end of a pulse', () => {
    const control = { ...ON_OFF, method: 'proportional', integral_s: 0, gain_per_K: 599 / 600 } as const
    const plan = smallPlan([stage({ name: 'Primary', control })])
    const engine = new Conversation(compile(plan, smallVessel(), smallBeer()))
    engine.start({ 'Probe.beer': 17 })
    const window_s = engine.state.controller.windowFrom_s!
    engine.keepTelling(590, 10, { 'Probe.beer': 17 })
    engine.tell(window_s + 599 - engine.now_s)
    expect(engine.state.heater.on).toBe(false)
    expect(engine.last!.stands.until_s).toBe(window_s + 600)
    engine.tell(1)
    expect(engine.state.controller.windowFrom_s).toBe(window_s + 600)
  })

  // The compressor's rest is over one second after cold is wanted.
  it('so that nothing begins a second late', () => {
    const engine = new Conversation(
      compile(smallPlan([stage({ name: 'Primary' })]), smallVessel(), smallBeer()),
    )
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(280, 10, { 'Probe.beer': 18 })
    const { stands } = engine.tell(engine.start_s + 299 - engine.now_s, { 'Probe.beer': 18.4 })
    expect(engine.state.cooler.withheld).toBe('rest')
    expect(stands.until_s).toBe(engine.now_s + 1)
    engine.tell(1)
    expect(engine.state.cooler.on).toBe(true)
  })

  it('when a batch was held, or a question has come up', () => {
    const limits = { lowest_C: 0, highest_C: 18.2, ifBroken: 'hold', place: PLACE } as const
    const plan = smallPlan([stage({ name: 'Primary' })], { limits })
    const held = new Conversation(compile(plan, smallVessel(), smallBeer()))
    held.start({ 'Probe.beer': 18 })
    held.keepTelling(HOUR_S, 30, { 'Probe.beer': 18 })
    expect(held.tell(10, { 'Probe.beer': 18.4 }).stands.until_s).toBe(held.now_s + 1)
    expect(held.state).toMatchObject({ batch: 'held', cooler: { on: true } })
    const dead = heldAt18(24)
    dead.keepTelling(3 * HOUR_S, 10, { 'Probe.beer': 17.6 })
    while (dead.state.questions.length === 0) dead.tell(1)
    expect(dead.last!.events.map(({ kind }) => kind)).toContain('asked')
    expect(dead.last!.stands.until_s).toBe(dead.now_s + 1)
  })
})
