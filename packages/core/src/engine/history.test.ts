import { describe, expect, it } from 'vitest'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { channel, instrument, smallBeer, smallPlan, smallVessel, stage, when } from './testing/small-house.ts'

const HOUR_S = 3600

/** A float that reports every `every_s`, in a plan that asks for a gravity steady over two days. */
function talk(every_s: number) {
  const vessel = smallVessel({
    instruments: [
      instrument('Probe', 3600, [channel({ quantity: 'beer' })]),
      instrument('Float', every_s, [channel({ quantity: 'gravity' })]),
    ],
  })
  const steady = when({ kind: 'steady', quantity: 'gravity', within: 0.001, for_s: 48 * HOUR_S })
  const engine = new Conversation(
    compile(smallPlan([stage({ name: 'Finish', until: steady })]), vessel, smallBeer()),
  )
  engine.start({ 'Probe.beer': 18, 'Float.gravity': 1.048 })
  return engine
}

describe('the history of a gravity', () => {
  it('stays short, however often an instrument reports', () => {
    const engine = talk(60)
    engine.keepTelling(60 * HOUR_S, 60, { 'Float.gravity': 1.048 })
    const { history, recent } = engine.state.channels[1]!
    expect(history.length).toBeLessThan(500)
    expect(history.length).toBeGreaterThan(200)
    expect(recent).toHaveLength(5)
    expect(engine.state.batch).toBe('complete')
  })

  it('still tells a slow fall from a steady gravity when it is thinned', () => {
    const engine = talk(60)
    for (let minute = 1; minute <= 60 * 60; minute++) {
      // 1.5 points in two days, with an error that alternates.
      engine.tell(60, { 'Float.gravity': 1.048 - (0.0015 * minute) / (48 * 60) + (minute % 2) * 0.0004 })
    }
    expect(engine.state.batch).toBe('running')
  })

  it('believes the middle of the latest readings, not a single wild one', () => {
    const engine = talk(1800)
    engine.keepTelling(4 * HOUR_S, 1800, { 'Float.gravity': 1.045 })
    engine.tell(1800, { 'Float.gravity': 1.036 })
    expect(engine.state.channels[1]!.value).toBe(1.045)
  })
})
