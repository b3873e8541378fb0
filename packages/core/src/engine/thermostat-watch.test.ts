import { describe, expect, it } from 'vitest'
import type { Plan, Stage } from '../plan/plan.ts'
import type { Thermostat, Vessel } from '../vessel/vessel.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import {
  ON_OFF,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
} from './testing/small-house.ts'

/** The watch over a thermostat, and what it is set to, to the second. 0.3 K within three hours are expected of it here. */
const HOUR_S = 3600
const RESPONSE_S = 3 * HOUR_S
const WARM_S = 2 * HOUR_S

const DEVICE: Thermostat = {
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
}

interface Given {
  readonly device?: Partial<Thermostat>
  readonly vessel?: Partial<Vessel>
  readonly limits?: Partial<Plan['limits']>
}

/** What warms must do so within two hours, what cools within three. */
function talk(stages: readonly Stage[], { device, vessel, limits }: Given = {}): Conversation {
  const plan = smallPlan(stages, {
    limits: { lowest_C: -5, highest_C: 40, ifBroken: 'alarm', place: PLACE, ...limits },
  })
  const house = smallVessel({
    thermostat: { ...DEVICE, ...device },
    interlocks: { ...smallVessel().interlocks, heaterResponse_s: WARM_S, coolerResponse_s: RESPONSE_S },
    ...vessel,
  })
  return new Conversation(compile(plan, house, smallBeer()))
}

const hold = (target_C: number, part: Partial<Stage> = {}) =>
  stage({ name: 'Primary', course: { kind: 'hold', target_C }, ...part })

const set = (engine: Conversation) => {
  const { set_C, why } = engine.state.thermostat!
  return [set_C, why]
}

describe('a thermostat whose beer does not move', () => {
  it.each([
    ['warmer', 14, WARM_S],
    ['colder', 24, RESPONSE_S],
  ] as const)(
    'is stopped at the very second at which it should be %s, and all of it is said',
    (towards, beer_C, within_s) => {
      const engine = talk([hold(19)])
      engine.start({ 'Probe.beer': beer_C })
      engine.keepTelling(60, 10, { 'Probe.beer': beer_C })
      const from_s = engine.state.thermostat!.watchFrom_s!
      expect(engine.state.thermostat).toMatchObject({
        watchTowards: towards,
        watchFrom_C: beer_C,
        hasResponded: false,
      })
      const due_s = from_s + within_s
      while (engine.now_s + 10 < due_s) engine.tell(10, { 'Probe.beer': beer_C })
      engine.tell(due_s - 1 - engine.now_s, { 'Probe.beer': beer_C })
      expect(engine.state.thermostat!.lockedOut).toBe(false)
      engine.events.length = 0
      engine.tell(1)
      const at_s = due_s
      expect(engine.events).toEqual([
        {
          kind: 'no response',
          at_s,
          appliance: 'thermostat',
          towards,
          after_s: within_s,
          from_C: beer_C,
          to_C: beer_C,
        },
        { kind: 'thermostat set', at_s, set_C: null, why: 'no response', target_C: 19, beer_C },
        {
          kind: 'asked',
          at_s,
          question: { id: 1, about: 'no response', stage: 'Primary', text: '', subject: 'thermostat' },
        },
      ])
      expect(engine.state.thermostat).toMatchObject({
        lockedOut: true,
        watchTowards: null,
        watchFrom_s: null,
        watchFrom_C: null,
      })
    },
  )

  it('is looked at in time, also when nothing else calls', () => {
    const engine = talk([hold(19)], { vessel: { instruments: [smallVessel().instruments[1]!] } })
    engine.start({ 'Float.beer': 14 })
    for (let n = 0; n < 6; n++) engine.tell(1500, { 'Float.beer': 14 })
    const [stopped] = engine.events.filter(({ kind }) => kind === 'no response')
    expect(stopped).toMatchObject({ after_s: WARM_S })
  })

  it('is asked about once as long as it is stopped, in the next stage too, but not after the batch', () => {
    const engine = talk([hold(19), stage({ name: 'Second', course: { kind: 'hold', target_C: 19 } })])
    engine.start({ 'Probe.beer': 14 })
    engine.keepTelling(WARM_S + HOUR_S, 10, { 'Probe.beer': 14 })
    engine.tell(10, {}, [{ kind: 'go to', stage: 'Second' }])
    engine.keepTelling(60, 10, { 'Probe.beer': 14 })
    expect(engine.state.questions).toMatchObject([{ id: 1, stage: 'Primary' }])
    engine.tell(10, {}, [], 'not yet')
    expect(set(engine)).toEqual([null, 'no response'])
    engine.keepTelling(25 * HOUR_S, 30, { 'Probe.beer': 14 })
    expect(engine.state.questions).toMatchObject([{ stage: 'Second', subject: 'thermostat' }])
    engine.tell(10, {}, [], 'not yet')
    engine.tell(10, {}, [{ kind: 'stop' }])
    engine.tell(48 * HOUR_S)
    expect(engine.state.questions).toEqual([])
    expect(set(engine)).toEqual([null, 'batch not running'])
  })

  it('is asked about although other questions are open that share a word', () => {
    const to = { kind: 'stage', name: 'thermostat', place: PLACE } as const
    const branch = { when: stageLasted(10), destination: to, askFirst: true, place: PLACE }
    const engine = talk([hold(19, { branches: [branch] }), stage({ name: 'thermostat' })])
    engine.start({ 'Probe.beer': 14 })
    engine.keepTelling(WARM_S + 60, 10, { 'Probe.beer': 14 })
    expect(engine.state.questions.map(({ about }) => about)).toEqual(['branch', 'no response'])
  })
})

describe('a thermostat that has moved the beer', () => {
  it.each([
    ['warmed', 14, 14.4, 13.6, 13.4, WARM_S],
    ['cooled', 24, 23.6, 24.4, 24.6, RESPONSE_S],
  ] as const)(
    '%s it: goes on at the limit of the vessel, but not when the temperature runs away',
    (_, from, moved, tired, runaway, within_s) => {
      const responded = () => {
        const engine = talk([hold(19)])
        engine.start({ 'Probe.beer': from })
        engine.keepTelling(600, 10, { 'Probe.beer': moved })
        expect(engine.state.thermostat).toMatchObject({ watchFrom_C: moved, hasResponded: true })
        return engine
      }
      const steady = responded()
      steady.keepTelling(2.5 * within_s, 10, { 'Probe.beer': tired })
      expect(steady.state.thermostat).toMatchObject({ lockedOut: false, hasResponded: true })
      const lost = responded()
      lost.keepTelling(2.5 * within_s, 10, { 'Probe.beer': runaway })
      expect(lost.state.thermostat).toMatchObject({ lockedOut: true })
    },
  )
})

describe('the watch over a thermostat', () => {
  it('ends when the beer is near, and begins anew when it should go the other way', () => {
    const engine = talk([hold(19)])
    engine.start({ 'Probe.beer': 14 })
    engine.keepTelling(60, 10, { 'Probe.beer': 14 })
    engine.keepTelling(60, 10, { 'Probe.beer': 18.5 })
    expect(engine.state.thermostat).toMatchObject({ watchTowards: null, watchFrom_s: null })
    engine.keepTelling(60, 10, { 'Probe.beer': 14 })
    engine.keepTelling(WARM_S - 600, 10, { 'Probe.beer': 14.1 })
    const at_s = engine.now_s + 10
    engine.tell(10, { 'Probe.beer': 14.1 }, [{ kind: 'go to', stage: 'Primary' }])
    engine.keepTelling(10, 10, { 'Probe.beer': 14.1 })
    expect(engine.state.thermostat!.watchFrom_s).toBeLessThan(at_s)
    const turning = talk([hold(19), stage({ name: 'Cold', course: { kind: 'hold', target_C: 5 } })])
    turning.start({ 'Probe.beer': 14 })
    turning.keepTelling(WARM_S - 600, 10, { 'Probe.beer': 14 })
    turning.tell(10, { 'Probe.beer': 14 }, [{ kind: 'go to', stage: 'Cold' }])
    turning.keepTelling(60, 10, { 'Probe.beer': 14 })
    expect(turning.state.thermostat).toMatchObject({ watchTowards: 'colder', hasResponded: false })
    turning.keepTelling(HOUR_S, 10, { 'Probe.beer': 14 })
    expect(turning.state.thermostat!.lockedOut).toBe(false)
  })

  it('counts anew when another thermometer takes charge of the beer, but not of anything else', () => {
    const engine = talk([hold(19)])
    engine.start({ 'Probe.beer': 14, 'Float.beer': 14 })
    engine.keepTelling(60, 10, { 'Probe.beer': 14 })
    const began_s = engine.state.thermostat!.watchFrom_s!
    engine.tell(10, { 'Probe.beer': 14, 'Float.gravity': 1.05 })
    engine.tell(10, { 'Probe.beer': 14, 'Float.gravity': 1.05 })
    engine.keepTelling(60, 10, { 'Probe.beer': 14 })
    expect(engine.state.thermostat!.watchFrom_s).toBe(began_s)
    // The probe is silent: the float takes charge after a minute.
    const silent_s = engine.now_s + 60
    engine.tell(120)
    expect(engine.state.inCharge[engine.program.beer]).toBe(2)
    expect(engine.state.thermostat!.watchFrom_s).toBe(silent_s + 1)
  })

  it('is over while the beer is unknown', () => {
    const engine = talk([hold(19)])
    engine.start({ 'Probe.beer': 14 })
    engine.keepTelling(60, 10, { 'Probe.beer': 14 })
    engine.tell(4 * HOUR_S)
    expect(engine.state.thermostat).toMatchObject({ watchFrom_s: null, watchTowards: null, lockedOut: false })
    expect(set(engine)).toEqual([19, 'beer temperature unknown'])
  })

  const { heater: _heater, ...withoutHeater } = smallVessel()
  const { cooler: _cooler, ...withoutCooler } = smallVessel()
  const never = { ...smallVessel().interlocks, heaterResponse_s: 0, coolerResponse_s: 0 }

  it.each([
    ['has no heater behind it', 14, { vessel: { heater: undefined } }],
    ['has no cooler behind it', 24, { vessel: { cooler: undefined } }],
    ['is expected to warm in no time at all', 14, { vessel: { interlocks: never } }],
    ['is expected to cool in no time at all', 24, { vessel: { interlocks: never } }],
  ])('does not blame one that %s', (name, beer_C, given) => {
    const base = name.includes('heater')
      ? withoutHeater
      : name.includes('no cooler')
        ? withoutCooler
        : smallVessel()
    const vessel = { ...base, thermostat: DEVICE, ...(name.includes('time') ? given.vessel : {}) } as Vessel
    const limits = { lowest_C: -5, highest_C: 40, ifBroken: 'alarm', place: PLACE } as const
    const engine = new Conversation(compile(smallPlan([hold(19)], { limits }), vessel, smallBeer()))
    engine.start({ 'Probe.beer': beer_C })
    engine.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': beer_C })
    expect(engine.state.thermostat).toMatchObject({ lockedOut: false, watchFrom_s: null })
  })

  it.each([
    [17.6, null],
    [17.5, 'warmer'],
    [20.4, null],
    [20.5, 'colder'],
  ])(
    'begins beyond its hysteresis and what two thermometers may differ by: at %s °C: %s',
    (beer_C, towards) => {
      const engine = talk([hold(19)])
      engine.start({ 'Probe.beer': beer_C })
      engine.keepTelling(60, 10, { 'Probe.beer': beer_C })
      expect(engine.state.thermostat!.watchTowards).toBe(towards)
    },
  )
})

describe('a thermostat that keeps the air', () => {
  const cascade = (target_C: number) => [hold(target_C, { control: { ...ON_OFF, method: 'cascade' } })]
  const air: Given = { device: { follows: 'air', lowest_C: -10, highest_C: 40 } }

  it.each([
    // The coldest air that the plan allows is −2 °C, the warmest 30 °C.
    ['the coldest air', 5, 18, 'colder', air],
    ['the warmest air', 25, 12, 'warmer', air],
    ['the coldest that it can keep', 5, 18, 'colder', { device: { follows: 'air', lowest_C: 1 } }],
    ['the warmest that it can keep', 25, 12, 'warmer', { device: { follows: 'air', highest_C: 26 } }],
    ['air that is merely cold', 17.5, 18, null, air],
    ['air that is merely warm', 18.5, 18, null, air],
  ] as const)('is watched only while it is asked for %s', (_, target_C, beer_C, towards, given) => {
    const engine = talk(cascade(target_C), given as Given)
    engine.start({ 'Probe.beer': beer_C })
    engine.keepTelling(60, 10, { 'Probe.beer': beer_C })
    expect(engine.state.thermostat).toMatchObject({ why: 'air for the beer', watchTowards: towards })
    engine.keepTelling(RESPONSE_S + HOUR_S, 10, { 'Probe.beer': beer_C })
    if (towards !== null) expect(engine.state.thermostat!.lockedOut).toBe(true)
  })

  it('is not watched when it has the target of the beer, however far that is', () => {
    const engine = talk([hold(5)], air)
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(2 * RESPONSE_S, 10, { 'Probe.beer': 18 })
    expect(engine.state.thermostat).toMatchObject({
      set_C: 5,
      why: 'target',
      watchTowards: null,
      lockedOut: false,
    })
  })
})

describe('what a thermostat is set to', () => {
  it('is off in a stage that leaves the vessel alone, and what its controller wanted is over', () => {
    const engine = talk([
      stage({
        name: 'Rise',
        course: { kind: 'free rise', cap_C: 22, lowest_C: 17 },
        until: stageLasted(600),
      }),
      stage({ name: 'Alone', course: { kind: 'leave alone' } }),
    ])
    engine.start({ 'Probe.beer': 16 })
    engine.keepTelling(60, 10, { 'Probe.beer': 16 })
    expect(engine.state.controller.wantHeat).toBe(true)
    expect(set(engine)).toEqual([17, 'target'])
    engine.keepTelling(660, 10, { 'Probe.beer': 16 })
    expect(set(engine)).toEqual([null, 'left alone'])
    expect(engine.state.controller.wantHeat).toBe(false)
  })

  it('is over for its controller while the beer is unknown, and when the batch is stopped or it is locked out', () => {
    const rise = [stage({ name: 'Rise', course: { kind: 'free rise', cap_C: 22, lowest_C: 17 } })]
    const wanting = () => {
      const engine = talk(rise)
      engine.start({ 'Probe.beer': 15 })
      engine.keepTelling(60, 10, { 'Probe.beer': 15 })
      expect(engine.state.controller.wantHeat).toBe(true)
      return engine
    }
    const blind = wanting()
    blind.tell(200)
    const stopped = wanting()
    stopped.tell(10, {}, [{ kind: 'stop' }])
    const dead = wanting()
    dead.keepTelling(WARM_S + 60, 10, { 'Probe.beer': 15 })
    expect(dead.state.thermostat!.lockedOut).toBe(true)
    for (const { state } of [blind, stopped, dead]) expect(state.controller.wantHeat).toBe(false)
  })

  it('in a free rise with a heater alone is its lower end, with a cooler alone its cap', () => {
    const rise = [stage({ name: 'Rise', course: { kind: 'free rise', cap_C: 22, lowest_C: 17 } })]
    const warm = talk(rise, { vessel: {} })
    expect(warm.program.thermostat).toMatchObject({ heats: true, cools: true })
    const { cooler: _, ...vessel } = smallVessel()
    const program = compile(smallPlan(rise), { ...vessel, thermostat: DEVICE }, smallBeer())
    const alone = new Conversation(program)
    alone.start({ 'Probe.beer': 19 })
    alone.keepTelling(60, 10, { 'Probe.beer': 19 })
    expect(set(alone)).toEqual([17, 'target'])
  })

  it('in a free rise without a lower end is never warmth', () => {
    const engine = talk([stage({ name: 'Rise', course: { kind: 'free rise', cap_C: 22 } })])
    engine.start({ 'Probe.beer': 2 })
    engine.keepTelling(60, 10, { 'Probe.beer': 2 })
    expect(set(engine)).toEqual([null, 'free rise'])
    engine.keepTelling(60, 10, { 'Probe.beer': 5 })
    expect(set(engine)).toEqual([null, 'free rise'])
  })

  it('in a boil is where the boil counts as reached', () => {
    const plan = smallPlan([stage({ name: 'Boil', course: { kind: 'boil', power: 1, from_C: 99 } })], {
      side: 'hot side',
      limits: { lowest_C: 0, highest_C: 105, ifBroken: 'alarm', place: PLACE },
    })
    const vessel = smallVessel({ thermostat: { ...DEVICE, highest_C: 110 } })
    const engine = new Conversation(compile(plan, vessel, smallBeer()))
    engine.start({ 'Probe.beer': 60 })
    engine.keepTelling(60, 10, { 'Probe.beer': 60 })
    expect(set(engine)).toEqual([99, 'target'])
  })

  it('beyond a limit is the other end, by which it can only drive the beer back', () => {
    const limits = { lowest_C: 10, highest_C: 22, ifBroken: 'alarm' } as const
    const warm = talk([hold(19)], { limits })
    warm.start({ 'Probe.beer': 23 })
    warm.keepTelling(60, 10, { 'Probe.beer': 23 })
    expect(set(warm)).toEqual([10, 'limit broken'])
    const cold = talk([hold(19)], { limits })
    cold.start({ 'Probe.beer': 9 })
    cold.keepTelling(60, 10, { 'Probe.beer': 9 })
    expect(set(cold)).toEqual([22, 'limit broken'])
    cold.tell(400)
    expect(set(cold)).toEqual([19, 'beer temperature unknown'])
  })

  it('stays when what is wanted has moved by little more than half a step, and then moves', () => {
    const engine = talk(
      [18, 18.3, 18.31, 18.2].map((target_C, n) =>
        stage({ name: `Stage ${n}`, course: { kind: 'hold', target_C } }),
      ),
      { device: { resolution_K: 0.5 } },
    )
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(20, 10, { 'Probe.beer': 18 })
    const next = (name: string) => {
      engine.tell(10, { 'Probe.beer': 18 }, [{ kind: 'go to', stage: name }])
      engine.tell(1)
      return set(engine)[0]
    }
    expect([set(engine)[0], next('Stage 1'), next('Stage 2'), next('Stage 3')]).toEqual([18, 18, 18.5, 18.5])
  })

  it('is the range when plan and device end at the same, and no negative zero', () => {
    const top = talk([hold(26)], { limits: { highest_C: 24 }, device: { highest_C: 24 } })
    top.start({ 'Probe.beer': 18 })
    expect(set(top)).toEqual([24, 'range'])
    const bottom = talk([hold(1)], { limits: { lowest_C: 4 }, device: { lowest_C: 4 } })
    bottom.start({ 'Probe.beer': 18 })
    expect(set(bottom)).toEqual([4, 'range'])
    const zero = talk([hold(-0.04)], { device: { lowest_C: -5 } })
    zero.start({ 'Probe.beer': 2 })
    expect(Object.is(set(zero)[0], 0)).toBe(true)
  })

  it('is the nearest of its steps that lies within its range', () => {
    const up = talk([hold(1)], { device: { lowest_C: 4.3, resolution_K: 0.5 } })
    up.start({ 'Probe.beer': 18 })
    expect(set(up)).toEqual([4.5, 'range'])
    const down = talk([hold(30)], { device: { highest_C: 24.7, resolution_K: 0.5 } })
    down.start({ 'Probe.beer': 18 })
    expect(set(down)).toEqual([24.5, 'range'])
    // The nearest step lies outside of the range.
    const low = talk([hold(1)], { device: { lowest_C: 4.2, resolution_K: 0.5 } })
    low.start({ 'Probe.beer': 18 })
    expect(set(low)).toEqual([4.5, 'range'])
    const high = talk([hold(30)], { device: { highest_C: 24.8, resolution_K: 0.5 } })
    high.start({ 'Probe.beer': 18 })
    expect(set(high)).toEqual([24.5, 'range'])
  })
})

describe('a lease that was not renewed', () => {
  it('of a thermostat that was told to go off is none: it is off already', () => {
    const engine = talk([stage({ name: 'Rise', course: { kind: 'free rise', cap_C: 22, lowest_C: 17 } })])
    engine.start({ 'Probe.beer': 16 })
    engine.keepTelling(60, 10, { 'Probe.beer': 16 })
    expect(set(engine)).toEqual([17, 'target'])
    engine.keepTelling(3000, 10, { 'Probe.beer': 19 })
    const reasons = engine.events.flatMap(event => (event.kind === 'thermostat set' ? [event.why] : []))
    expect(reasons).toEqual(['target', 'free rise'])
  })

  const lapse = (whenUnheard: Thermostat['whenUnheard'], after_s: number) => {
    const engine = talk([hold(19)], { device: { whenUnheard } })
    engine.start({ 'Probe.beer': 18.6 })
    engine.keepTelling(60, 10, { 'Probe.beer': 18.6 })
    const { leaseUntil_s } = engine.state.thermostat!
    engine.last = null
    engine.events.length = 0
    engine.tell(leaseUntil_s! + after_s - engine.now_s, { 'Probe.beer': 18.6 })
    return engine.events.flatMap(event => (event.kind === 'thermostat set' ? [event.why] : []))
  }

  it('is noted at its very second, by a thermostat that goes off by itself, and it is set anew', () => {
    expect(lapse('off', -1)).not.toContain('lapsed')
    expect(lapse('off', 0)).toContain('lapsed')
    expect(lapse('off', 500)).toContain('lapsed')
    expect(lapse('keeps its target', 500)).not.toContain('lapsed')
  })
})
