import { describe, expect, it } from 'vitest'
import type { Beer } from '../beer/beer.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { channel, instrument, smallBeer, smallPlan, smallVessel, stage, when } from './testing/small-house.ts'

const QUARTER_S = 900
const HOUR_S = 3600

/** A plan that goes on at an attenuation of 50 %: 1.025 from 1.050, but 1.027 from 1.054. */
function talk(part: Partial<Beer> = { originalGravityFrom: 'float' }) {
  const vessel = smallVessel({
    instruments: [
      instrument('Probe', 600, [channel({ quantity: 'beer' })]),
      instrument('Float', QUARTER_S, [
        channel({ quantity: 'gravity', noise: 0.0005 }),
        channel({ quantity: 'beer', noise: 0.05 }),
      ]),
    ],
  })
  const plan = smallPlan([
    stage({ name: 'Primary', until: when({ kind: 'attenuation', atLeast: 0.5 }) }),
    stage({ name: 'Rest' }),
  ])
  return new Conversation(compile(plan, vessel, smallBeer(part)))
}

const float = (gravity: number, float_C = 18) => ({
  'Probe.beer': 18,
  'Float.gravity': gravity,
  'Float.beer': float_C,
})

const told = (engine: Conversation) => engine.events.filter(({ kind }) => kind === 'original gravity')

describe('the original gravity', () => {
  it('is taken from the float once it is demonstrably in the wort, once, and attenuation is counted from it', () => {
    const engine = talk()
    engine.start(float(1.054))
    engine.keepTelling(HOUR_S - QUARTER_S, QUARTER_S, float(1.054))
    expect(told(engine)).toEqual([])
    engine.keepTelling(10 * HOUR_S, QUARTER_S, float(1.054))
    expect(told(engine)).toMatchObject([{ gravity: 1.054, before: 1.05, from: 'float', instrument: 'Float' }])
    expect(engine.state.originalGravity).toBe(1.054)
    engine.keepTelling(2 * HOUR_S, QUARTER_S, float(1.045))
    engine.keepTelling(2 * HOUR_S, QUARTER_S, float(1.035))
    engine.keepTelling(2 * HOUR_S, QUARTER_S, float(1.0275))
    expect(engine.stageName).toBe('Primary')
    engine.keepTelling(2 * HOUR_S, QUARTER_S, float(1.0265))
    expect(engine.stageName).toBe('Rest')
  })

  it('waits for a float that is put in late', () => {
    const engine = talk()
    engine.start(float(1, 22))
    engine.keepTelling(2 * HOUR_S, QUARTER_S, float(1, 22))
    engine.keepTelling(3 * HOUR_S, QUARTER_S, float(1.051))
    expect(told(engine)).toMatchObject([{ gravity: 1.051, from: 'float' }])
  })

  it('is not taken from a float as warm as the room, however steady it is', () => {
    const engine = talk()
    engine.start(float(1.051, 22))
    engine.keepTelling(5 * HOUR_S, QUARTER_S, float(1.051, 22))
    expect(told(engine)).toEqual([])
  })

  it('stays what the beer file says when six hours have passed, and that is said', () => {
    const engine = talk()
    engine.start(float(1, 22))
    engine.keepTelling(7 * HOUR_S, QUARTER_S, float(1, 22))
    engine.keepTelling(4 * HOUR_S, QUARTER_S, float(1.045))
    expect(told(engine)).toMatchObject([{ gravity: 1.05, from: 'beer file', instrument: null }])
  })

  it('is not taken from a float that falls: the yeast has begun', () => {
    const engine = talk()
    engine.start(float(1.054))
    for (let quarter = 1; quarter < 20; quarter++) engine.tell(QUARTER_S, float(1.054 - quarter * 0.001))
    expect(told(engine)).toEqual([])
  })

  it('is not taken from the float when the beer file does not say so', () => {
    const engine = talk({})
    engine.start(float(1.054))
    engine.keepTelling(8 * HOUR_S, QUARTER_S, float(1.054))
    expect(told(engine)).toEqual([])
    expect(engine.state.originalGravity).toBeNull()
  })

  it('entered by hand stands above the float, before and after', () => {
    const before = talk()
    before.start(float(1.054))
    before.tell(60, {}, [{ kind: 'original gravity', gravity: 1.052 }])
    before.keepTelling(3 * HOUR_S, QUARTER_S, float(1.054))
    expect(told(before)).toMatchObject([{ gravity: 1.052, before: 1.05, from: 'hand' }])

    const after = talk()
    after.start(float(1.054))
    after.keepTelling(3 * HOUR_S, QUARTER_S, float(1.054))
    after.tell(60, {}, [{ kind: 'original gravity', gravity: 1.052 }])
    expect(told(after)).toMatchObject([{ from: 'float' }, { gravity: 1.052, before: 1.054, from: 'hand' }])
  })

  it('may be further off when the brewer says so: the float is believed, not called implausible', () => {
    const engine = talk({ originalGravityFrom: 'float', originalGravitySd_SG: 0.006 })
    engine.start(float(1.063))
    engine.keepTelling(2 * HOUR_S, QUARTER_S, float(1.063))
    expect(engine.kinds()).not.toContain('instrument lost')
    expect(told(engine)).toMatchObject([{ gravity: 1.063, from: 'float' }])
  })

  it('goes on after a restart with a state that knew nothing of it', () => {
    const engine = talk()
    engine.start(float(1.054))
    const { originalGravity: _, ...older } = engine.state
    engine.state = JSON.parse(JSON.stringify(older))
    engine.keepTelling(2 * HOUR_S, QUARTER_S, float(1.054))
    expect(told(engine)).toMatchObject([{ from: 'float' }])
  })
})
