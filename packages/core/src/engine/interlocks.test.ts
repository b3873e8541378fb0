import { describe, expect, it } from 'vitest'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import {
  channel,
  instrument,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
} from './testing/small-house.ts'

const HOUR_S = 3600

describe('a boil', () => {
  it('goes on after a restart, although boiling wort gets no warmer', () => {
    const { cooler: _none, ...kettle } = smallVessel()
    const vessel = {
      ...kettle,
      instruments: [instrument('Probe', 10, [channel({ quantity: 'beer' })])],
      interlocks: { ...kettle.interlocks, heaterResponse_s: 900 },
    }
    const plan = smallPlan([stage({ name: 'Boil', course: { kind: 'boil', power: 1, from_C: 100 } })], {
      side: 'hot side',
      limits: { lowest_C: 0, highest_C: 105, ifBroken: 'alarm', place: PLACE },
    })
    const engine = new Conversation(compile(plan, vessel, smallBeer()))
    engine.start({ 'Probe.beer': 99 })
    engine.keepTelling(600, 10, { 'Probe.beer': 100.1 })
    expect(engine.state.heater.on).toBe(true)
    engine.tell(20, { 'Probe.beer': 100.1 }, [{ kind: 'restarted' }])
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 100.1 })
    expect(engine.state.heater).toMatchObject({ on: true, lockedOut: false })
  })
})

describe('a lease that lapsed because nobody called the engine', () => {
  it('lets the compressor rest from the moment at which it fell off by itself', () => {
    const engine = new Conversation(
      compile(smallPlan([stage({ name: 'Primary' })]), smallVessel(), smallBeer()),
    )
    engine.start({ 'Probe.beer': 20 })
    engine.keepTelling(300, 10, { 'Probe.beer': 20 })
    expect(engine.state.cooler.on).toBe(true)
    const lapse_s = engine.state.cooler.leaseUntil_s!
    // The process was stopped for a while and knows nothing of it.
    engine.last = null
    engine.tell(lapse_s + 5 - engine.now_s, { 'Probe.beer': 20 })
    expect(engine.state.cooler.on).toBe(false)
    engine.keepTelling(290, 10, { 'Probe.beer': 20 })
    expect(engine.state.cooler.on).toBe(false)
    engine.keepTelling(10, 10, { 'Probe.beer': 20 })
    expect(engine.state.cooler.on).toBe(true)
  })
})
