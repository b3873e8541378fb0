import { expect, it } from 'vitest'
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
  // The other edge of the hysteresis, half of the lease, and the time in which the beer has to answer.
  expect(stands.upper[PROBE]).toBeCloseTo(17.9, 9)
  expect(stands.until_s).toBe(engine.now_s + 450)
  expect(stands.decidedUntil_s).toBe(engine.now_s + 3 * HOUR_S)
})

it('looks again a second later when something else has come up with it', () => {
  const engine = heldAt18(18.2)
  const { stands } = engine.tell(10, { 'Probe.beer': 18.4 })
  expect(engine.state.cooler.on).toBe(true)
  expect(engine.state.limitBroken).toBe('highest')
  expect(stands.until_s).toBe(engine.now_s + 1)
})
