import { describe, expect, it } from 'vitest'
import type { Vessel } from '../vessel/vessel.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import {
  channel,
  instrument,
  ON_OFF,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
} from './testing/small-house.ts'

const HOUR_S = 3600
const DAY_S = 86_400
const PROPORTIONAL = { ...ON_OFF, method: 'proportional' } as const
const CASCADE = { ...ON_OFF, method: 'cascade' } as const

function talk(stages: Parameters<typeof smallPlan>[0], vessel: Vessel = smallVessel()) {
  return new Conversation(compile(smallPlan(stages), vessel, smallBeer()))
}

describe('a free rise', () => {
  const course = { kind: 'free rise', cap_C: 22, lowest_C: 18 } as const

  it('is not cooled below its cap by a proportioned controller', () => {
    const engine = talk([stage({ name: 'Rise', course, control: PROPORTIONAL })])
    engine.start({ 'Probe.beer': 20 })
    engine.keepTelling(4 * HOUR_S, 30, { 'Probe.beer': 20 })
    const coolings = engine.events.filter(event => event.kind === 'switched' && event.appliance === 'cooler')
    expect(coolings).toEqual([])
    engine.keepTelling(HOUR_S, 30, { 'Probe.beer': 22.5 })
    expect(engine.state.cooler.on).toBe(true)
  })

  it('is not warmed to its cap by a heater in the air of the cabinet', () => {
    const { heater } = smallVessel()
    const vessel = smallVessel({
      heater: { ...heater!, toWall_W_per_K: 0, toAir_W_per_K: 3 },
      instruments: [
        instrument('Probe', 10, [channel({ quantity: 'beer' })]),
        instrument('Air probe', 10, [channel({ quantity: 'air', step: 15 })]),
      ],
    })
    const engine = talk([stage({ name: 'Rise', course, control: CASCADE })], vessel)
    engine.start({ 'Probe.beer': 20, 'Air probe.air': 19 })
    engine.keepTelling(2 * HOUR_S, 30, { 'Probe.beer': 20, 'Air probe.air': 19 })
    const heatings = engine.events.filter(event => event.kind === 'switched' && event.appliance === 'heater')
    expect(heatings).toEqual([])
    engine.keepTelling(120, 30, { 'Probe.beer': 17.6, 'Air probe.air': 18 })
    expect(engine.state.heater.on).toBe(true)
  })
})

describe('a controller that was not asked for a while', () => {
  it('does not count the error of that while into its integral part: proportional after an on-off stage', () => {
    const engine = talk([
      stage({ name: 'One', control: PROPORTIONAL, until: stageLasted(HOUR_S) }),
      stage({ name: 'Two', until: stageLasted(3 * DAY_S) }),
      stage({ name: 'Three', control: PROPORTIONAL }),
    ])
    engine.start({ 'Probe.beer': 17.98 })
    engine.keepTelling(HOUR_S - 10, 10, { 'Probe.beer': 17.98 })
    const { integral } = engine.state.controller
    engine.keepTelling(3 * DAY_S + 60, 30, { 'Probe.beer': 17.98 })
    expect(engine.stageName).toBe('Three')
    expect(Math.abs(engine.state.controller.integral - integral)).toBeLessThan(0.05)
  })

  it('nor when the air of the cabinet was unknown for a day', () => {
    const vessel = smallVessel({
      instruments: [
        instrument('Probe', 10, [channel({ quantity: 'beer' })]),
        instrument('Air probe', 10, [channel({ quantity: 'air', step: 15 })]),
      ],
    })
    const engine = talk([stage({ name: 'Primary', control: CASCADE })], vessel)
    const both = { 'Probe.beer': 18.1, 'Air probe.air': 15 }
    engine.start(both)
    engine.keepTelling(HOUR_S, 10, both)
    const { integral } = engine.state.controller
    engine.keepTelling(DAY_S, 30, { 'Probe.beer': 18.1 })
    engine.keepTelling(60, 10, both)
    expect(Math.abs(engine.state.controller.integral - integral)).toBeLessThan(0.3)
  })

  it('nor when the software was away for ten hours', () => {
    const engine = talk([stage({ name: 'Primary', control: PROPORTIONAL })])
    engine.start({ 'Probe.beer': 17.9 })
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 17.9 })
    const { integral } = engine.state.controller
    engine.last = null
    engine.tell(10 * HOUR_S, { 'Probe.beer': 17.9 }, [{ kind: 'restarted' }])
    engine.keepTelling(20, 10, { 'Probe.beer': 17.9 })
    expect(Math.abs(engine.state.controller.integral - integral)).toBeLessThan(0.05)
  })
})
