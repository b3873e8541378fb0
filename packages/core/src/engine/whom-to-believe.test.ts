import { describe, expect, it } from 'vitest'
import type { Stage } from '../plan/plan.ts'
import { compile } from './compile.ts'
import type { EngineEvent } from './events.ts'
import { Conversation } from './testing/conversation.ts'
import { channel, instrument, smallBeer, smallPlan, smallVessel, stage } from './testing/small-house.ts'

/** Two thermometers in the beer, two floats, one thermometer in the air: what is said of them, to the second. */
const PROBE = 0
const SPARE = 1

function talk(part: Partial<Stage> = { course: { kind: 'leave alone' } }) {
  const vessel = smallVessel({
    instruments: [
      instrument('Probe', 10, [channel({ quantity: 'beer' })]),
      instrument('Spare', 20, [channel({ quantity: 'beer' })]),
      instrument('Air probe', 10, [channel({ quantity: 'air' })]),
      instrument('Float', 60, [channel({ quantity: 'gravity' })]),
      instrument('Second float', 60, [channel({ quantity: 'gravity' })]),
    ],
  })
  return new Conversation(compile(smallPlan([stage({ name: 'Primary', ...part })]), vessel, smallBeer()))
}

const both = (probe: number, spare: number) => ({ 'Probe.beer': probe, 'Spare.beer': spare })
const of = (engine: Conversation, ...kinds: readonly EngineEvent['kind'][]) =>
  engine.events.filter(({ kind }) => kinds.includes(kind))

describe('an instrument that falls silent', () => {
  it('is lost at the very second, and the next one takes charge', () => {
    const engine = talk()
    engine.start(both(18, 18.5))
    engine.keepTelling(60, 20, both(18, 18.5))
    const last_s = engine.now_s
    engine.events.length = 0
    engine.keepTelling(100, 20, { 'Spare.beer': 18.5 })
    expect(engine.events).toEqual([
      {
        kind: 'instrument lost',
        at_s: last_s + 60,
        instrument: 'Probe',
        quantity: 'beer',
        why: 'silent',
        value: 18,
      },
      { kind: 'in charge', at_s: last_s + 60, quantity: 'beer', instrument: 'Spare', before: 'Probe' },
    ])
    engine.events.length = 0
    const second_s = engine.now_s
    engine.tell(200)
    expect(of(engine, 'instrument lost', 'in charge')).toMatchObject([
      { kind: 'instrument lost', at_s: second_s + 80, instrument: 'Spare', why: 'silent', value: 18.5 },
      { kind: 'in charge', at_s: second_s + 80, instrument: null, before: 'Spare' },
    ])
    expect(engine.state.channels[SPARE]).toMatchObject({ trusted: false, doubted: true, run: 0 })
  })

  it('comes back with its third good reading in agreement, which is said with its value', () => {
    const engine = talk()
    engine.start(both(18, 18.5))
    engine.keepTelling(60, 20, both(18, 18.5))
    engine.keepTelling(100, 20, { 'Spare.beer': 18.5 })
    engine.events.length = 0
    for (const value of [18.1, 18.2, 18.3]) engine.tell(10, { 'Probe.beer': value, 'Spare.beer': 18.5 })
    expect(engine.events).toEqual([
      { kind: 'instrument back', at_s: engine.now_s, instrument: 'Probe', quantity: 'beer', value: 18.3 },
      { kind: 'in charge', at_s: engine.now_s, quantity: 'beer', instrument: 'Probe', before: 'Spare' },
    ])
    expect(engine.state.channels[PROBE]).toMatchObject({ trusted: true, run: 0 })
  })

  it('asks for each of its readings while it is not believed, and for a call when it has been silent', () => {
    const engine = talk()
    engine.start(both(18, 18.5))
    const { stands } = engine.keepTelling(60, 20, both(18, 18.5))
    expect(stands.silence_s.slice(0, 2)).toEqual([60, 80])
    expect(stands.lower[PROBE]).toBeLessThan(18)
    const lost = engine.keepTelling(100, 20, { 'Spare.beer': 18.5 }).stands
    expect([lost.lower[PROBE], lost.upper[PROBE]]).toEqual([
      Number.POSITIVE_INFINITY,
      Number.NEGATIVE_INFINITY,
    ])
    expect(lost.silence_s[SPARE]).toBe(80)
  })
})

describe('the first readings of a batch', () => {
  it('put their instruments in charge, and nobody is said to be back', () => {
    const engine = talk()
    engine.start(both(18, 18.5))
    engine.keepTelling(60, 20, both(18, 18.5))
    expect(of(engine, 'instrument back', 'instrument lost')).toEqual([])
    expect(of(engine, 'in charge')).toMatchObject([{ quantity: 'beer', instrument: 'Probe', before: null }])
  })
})

describe('two instruments that are believed', () => {
  it('that agree may each move within half of the room between them before anybody has to look', () => {
    const engine = talk()
    engine.start(both(18, 19))
    const { stands } = engine.keepTelling(60, 20, both(18, 19))
    // Allowed are 2 K: 18.5 ± 1 °C.
    expect([stands.lower[PROBE], stands.upper[PROBE]]).toEqual([17.5, 19.5])
    expect([stands.lower[SPARE], stands.upper[SPARE]]).toEqual([17.5, 19.5])
  })

  for (const [probe, spare] of [
    [18, 21],
    [21, 18],
  ] as const) {
    it(`that differ (${probe} and ${spare} °C) are reported when it has lasted, and agree again well inside`, () => {
      const engine = talk()
      engine.start(both(18, 18))
      engine.keepTelling(60, 20, both(probe, spare))
      const since_s = engine.now_s - 40
      expect(of(engine, 'disagree')).toEqual([])
      const { stands } = engine.last!
      // Narrower now: 80 % of 2 K around 19.5 °C.
      const [above, below] = probe > spare ? [PROBE, SPARE] : [SPARE, PROBE]
      expect(stands.lower[above]).toBeCloseTo(20.3, 9)
      expect(stands.upper[below]).toBeCloseTo(18.7, 9)
      // The slower of the two is allowed a silence of 80 s.
      engine.keepTelling(120, 20, both(probe, spare))
      expect(of(engine, 'disagree')).toEqual([
        {
          kind: 'disagree',
          at_s: since_s + 80,
          quantity: 'beer',
          instruments: ['Probe', 'Spare'],
          difference: probe - spare,
        },
      ])
      engine.keepTelling(20, 20, both(19, 20.7))
      expect(of(engine, 'agree')).toEqual([])
      engine.keepTelling(20, 20, both(19, 20.5))
      expect(of(engine, 'agree')).toMatchObject([
        { at_s: engine.now_s, quantity: 'beer', instruments: ['Probe', 'Spare'] },
      ])
      expect(engine.state.disagreeing).toEqual([])
    })
  }

  it('that differ in the gravity are reported with that; the air has nobody to differ from', () => {
    const engine = talk()
    engine.start({
      ...both(18, 18),
      'Air probe.air': 2,
      'Float.gravity': 1.05,
      'Second float.gravity': 1.043,
    })
    engine.keepTelling(2000, 20, {
      ...both(18, 18),
      'Air probe.air': 2,
      'Float.gravity': 1.05,
      'Second float.gravity': 1.043,
    })
    const said = of(engine, 'disagree')
    expect(said).toMatchObject([{ quantity: 'gravity', instruments: ['Float', 'Second float'] }])
  })

  it('of which one is lost do not differ any more, and that is not said as agreement', () => {
    const engine = talk()
    engine.start(both(18, 18))
    engine.keepTelling(300, 20, both(18, 21))
    expect(of(engine, 'disagree')).toHaveLength(1)
    engine.keepTelling(200, 20, { 'Probe.beer': 18 })
    expect(engine.state.disagreeing).toEqual([])
    expect(of(engine, 'agree')).toEqual([])
  })
})
