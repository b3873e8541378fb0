import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import type { Plan, Stage } from '../plan/plan.ts'
import type { Thermostat, Vessel } from '../vessel/vessel.ts'
import { compile } from './compile.ts'
import type { Command, Outcome } from './contract.ts'
import { Conversation } from './testing/conversation.ts'
import {
  channel,
  instrument,
  ON_OFF,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
} from './testing/small-house.ts'

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

const HOUR_S = 3600

interface Given {
  readonly device?: Partial<Thermostat>
  readonly vessel?: Partial<Vessel>
  readonly limits?: Partial<Plan['limits']>
}

function talk(stages: readonly Stage[], { device, vessel, limits }: Given = {}): Conversation {
  const plan = smallPlan(stages, {
    limits: { lowest_C: 0, highest_C: 24, ifBroken: 'alarm', place: PLACE, ...limits },
  })
  const house = smallVessel({
    instruments: [instrument('Probe', 10, [channel({ quantity: 'beer' })])],
    thermostat: { ...DEVICE, ...device },
    ...vessel,
  })
  return new Conversation(compile(plan, house, smallBeer()))
}

const hold = (target_C: number) => stage({ name: 'Primary', course: { kind: 'hold', target_C } })

const targetsOf = (commands: readonly Command[]) =>
  commands.map(command => (command.appliance === 'thermostat' ? command.target_C : command.appliance))

/** All targets that were sent while the readings go on. */
function tellOn(engine: Conversation, for_s: number, every_s: number, beer_C: number): (number | null)[] {
  const sent: (number | null)[] = []
  for (let passed_s = every_s; passed_s <= for_s; passed_s += every_s) {
    sent.push(...(targetsOf(engine.tell(every_s, { 'Probe.beer': beer_C }).commands) as (number | null)[]))
  }
  return sent
}

const reasons = (engine: Conversation) =>
  engine.events.flatMap(event => (event.kind === 'thermostat set' ? [[event.set_C, event.why]] : []))

describe('a thermostat', () => {
  it('is told the target once, then only to renew the lease, and nothing else is commanded', () => {
    const engine = talk([hold(19)])
    expect(targetsOf(engine.start({ 'Probe.beer': 18.6 }).commands)).toEqual([19])
    expect(engine.last!.commands[0]).toMatchObject({ until_s: engine.now_s + 900, fence: 1 })
    // A lease of 15 min is renewed after half of it.
    expect(tellOn(engine, 440, 10, 18.7)).toEqual([])
    expect(tellOn(engine, 900, 10, 18.9)).toEqual([19, 19])
    expect(reasons(engine)).toEqual([[19, 'target']])
    expect(engine.kinds()).not.toContain('switched')
  })

  it('is led along a ramp in steps of its own resolution', () => {
    const ramp = stage({ name: 'Crash', course: { kind: 'ramp', from_C: 18, to_C: 17, over_s: 10 * HOUR_S } })
    for (const [resolution_K, steps] of [
      [0.1, 10],
      [0.5, 2],
    ] as const) {
      const engine = talk([ramp], { device: { resolution_K } })
      engine.start({ 'Probe.beer': 18 })
      engine.keepTelling(11 * HOUR_S, 60, { 'Probe.beer': 17.8 })
      const sent = reasons(engine).map(([target]) => target as number)
      expect(sent).toHaveLength(1 + steps)
      expect([sent[0], sent.at(-1)]).toEqual([18, 17])
      expect(sent.toSorted((a, b) => b - a)).toEqual(sent)
      for (const target of sent)
        expect(target / resolution_K).toBeCloseTo(Math.round(target / resolution_K), 9)
    }
  })

  it("is never set beyond the plan's limits or its own range", () => {
    const set = (target_C: number, device: Partial<Thermostat>, limits: Partial<Plan['limits']> = {}) => {
      const engine = talk([hold(target_C)], { device, limits })
      engine.start({ 'Probe.beer': 18 })
      return reasons(engine).at(-1)
    }
    expect(set(26, {})).toEqual([24, 'highest limit'])
    expect(set(26, { highest_C: 22 })).toEqual([22, 'range'])
    expect(set(1, { lowest_C: 4 })).toEqual([4, 'range'])
    expect(set(1, {}, { lowest_C: 3 })).toEqual([3, 'lowest limit'])
    // 24.7 °C would be rounded to 25 °C.
    expect(set(26, { resolution_K: 0.5 }, { highest_C: 24.7 })).toEqual([24.5, 'highest limit'])
    expect(set(10, { lowest_C: 22 }, { highest_C: 20 })).toEqual([null, 'range'])
  })

  it('keeps its target while nobody knows how warm the beer is, and is told so again and again', () => {
    const engine = talk([hold(19)])
    engine.start({ 'Probe.beer': 19 })
    const silent: Outcome[] = []
    for (let n = 0; n < 40; n++) silent.push(engine.tell(100))
    expect(reasons(engine)).toEqual([
      [19, 'target'],
      [19, 'beer temperature unknown'],
    ])
    expect(engine.state.thermostat!.leaseUntil_s).toBeGreaterThan(engine.now_s)
    engine.tell(10, { 'Probe.beer': 19 })
    engine.keepTelling(200, 10, { 'Probe.beer': 19 })
    expect(reasons(engine).at(-1)).toEqual([19, 'target'])
  })

  it('stays off until the beer was known for the first time', () => {
    const engine = talk([hold(19)])
    expect(targetsOf(engine.start().commands)).toEqual([null])
    expect(targetsOf(engine.tell(5, { 'Probe.beer': 18 }).commands)).toEqual([])
    expect(targetsOf(engine.tell(10, { 'Probe.beer': 18 }).commands)).toEqual([19])
  })

  it('goes off at the end, and keeps the last target of a plan that is complete', () => {
    for (const kind of ['stop', 'abort'] as const) {
      const engine = talk([hold(19)])
      engine.start({ 'Probe.beer': 19 })
      expect(targetsOf(engine.tell(10, {}, [{ kind }]).commands)).toEqual([null])
      expect(reasons(engine).at(-1)).toEqual([null, 'batch not running'])
    }
    const engine = talk([{ ...hold(19), until: stageLasted(600) }])
    engine.start({ 'Probe.beer': 19 })
    engine.keepTelling(1200, 10, { 'Probe.beer': 19 })
    expect(engine.state.batch).toBe('complete')
    expect(engine.state.thermostat).toMatchObject({ set_C: 19 })
  })

  it('goes on while the batch is held', () => {
    const engine = talk([hold(19)])
    engine.start({ 'Probe.beer': 19 })
    engine.tell(10, {}, [{ kind: 'hold' }])
    expect(tellOn(engine, 900, 10, 19)).toEqual([19, 19])
  })

  it('is told "off" again and again, when it would not go off by itself', () => {
    const left = stage({ name: 'Rest', course: { kind: 'leave alone' } })
    const off = talk([left])
    off.start({ 'Probe.beer': 19 })
    expect(tellOn(off, 900, 10, 19)).toEqual([])
    const kept = talk([left], { device: { whenUnheard: 'keeps its target' } })
    kept.start({ 'Probe.beer': 19 })
    expect(tellOn(kept, 900, 10, 19)).toEqual([null, null])
  })

  it('is set anew when its command has lapsed, and told again after a restart', () => {
    const engine = talk([hold(19)])
    engine.start({ 'Probe.beer': 19 })
    const back = engine.tell(10, { 'Probe.beer': 19 }, [{ kind: 'restarted' }])
    expect(targetsOf(back.commands)).toEqual([19])
    engine.keepTelling(20, 10, { 'Probe.beer': 19 })
    const before = engine.events.length
    // Called too late, as by a machine that was asleep.
    const now_s = engine.now_s + 5000
    engine.last = { ...engine.last!, stands: { ...engine.last!.stands, until_s: now_s, silence_s: [1e9] } }
    expect(targetsOf(engine.tell(5000, { 'Probe.beer': 19 }).commands)).toEqual([19])
    const said = engine.events
      .slice(before)
      .flatMap(event => (event.kind === 'thermostat set' ? [event.why] : []))
    expect(said[0]).toBe('lapsed')
  })
})

describe('a free rise', () => {
  const rise = stage({ name: 'Rise', course: { kind: 'free rise', cap_C: 22, lowest_C: 17 } })

  it('is left to the beer between its two temperatures', () => {
    const engine = talk([rise])
    engine.start({ 'Probe.beer': 19 })
    expect(reasons(engine)).toEqual([[null, 'free rise']])
    for (const [beer_C, set_C] of [
      [22.4, 22],
      [22.1, 22],
      [21.9, null],
      [18, null],
      [16.6, 17],
      [17.1, null],
    ] as const) {
      engine.tell(10, { 'Probe.beer': beer_C })
      expect(engine.state.thermostat!.set_C, `${beer_C} °C`).toBe(set_C)
    }
  })

  it('is simply capped, when the thermostat can only cool', () => {
    const { heater: _, ...cold } = smallVessel()
    const program = compile(smallPlan([rise]), { ...cold, thermostat: DEVICE }, smallBeer())
    const engine = new Conversation(program)
    engine.start({ 'Probe.beer': 19 })
    expect(reasons(engine)).toEqual([[22, 'target']])
  })
})

describe('a thermostat that keeps the air', () => {
  const given: Given = {
    device: { follows: 'air', lowest_C: -5 },
    vessel: { interlocks: { ...smallVessel().interlocks, coolerResponse_s: 3 * HOUR_S } },
  }

  it('has the target of the beer, or in a cascade the air that brings the beer there', () => {
    const plain = talk([hold(12)], given)
    plain.start({ 'Probe.beer': 18 })
    expect(reasons(plain)).toEqual([[12, 'target']])
    const cascade = talk([{ ...hold(12), control: { ...ON_OFF, method: 'cascade' } }], given)
    cascade.start({ 'Probe.beer': 18 })
    expect(reasons(cascade)).toEqual([[-2, 'air for the beer']])
  })

  it('gets air at the target of the beer, when nobody knows how cold the beer has become', () => {
    const engine = talk([{ ...hold(12), control: { ...ON_OFF, method: 'cascade' } }], given)
    engine.start({ 'Probe.beer': 18 })
    engine.tell(400)
    expect(reasons(engine).at(-1)).toEqual([12, 'beer temperature unknown'])
  })

  it('is not blamed for a beer that its yeast keeps warmer than the air', () => {
    const engine = talk([hold(18)], given)
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(20 * HOUR_S, 60, { 'Probe.beer': 20.5 })
    expect(engine.kinds()).not.toContain('no response')
  })
})

describe('the watch over the response', () => {
  it('stops a thermostat whose beer does not move, asks, and lets it go on when the brewer says so', () => {
    const engine = talk([hold(19)])
    engine.start({ 'Probe.beer': 14 })
    engine.keepTelling(2.9 * HOUR_S, 60, { 'Probe.beer': 14 })
    expect(engine.kinds()).not.toContain('no response')
    engine.keepTelling(0.2 * HOUR_S, 60, { 'Probe.beer': 14 })
    expect(engine.events).toContainEqual(
      expect.objectContaining({ kind: 'no response', appliance: 'thermostat', towards: 'warmer' }),
    )
    expect(reasons(engine).at(-1)).toEqual([null, 'no response'])
    expect(engine.state.questions).toHaveLength(1)
    expect(targetsOf(engine.tell(10, { 'Probe.beer': 14 }, [], 'yes').commands)).toEqual([19])
    expect(engine.state.thermostat).toMatchObject({ set_C: 19, lockedOut: false, hasResponded: false })
  })

  it('is content with a beer that follows, or that another thermometer sees a little away', () => {
    const following = talk([hold(19)])
    following.start({ 'Probe.beer': 14 })
    for (let hour = 0; hour < 30; hour++) {
      following.keepTelling(HOUR_S, 60, { 'Probe.beer': Math.min(19, 14 + 0.2 * hour) })
    }
    expect(following.kinds()).not.toContain('no response')
    const away = talk([hold(19)])
    away.start({ 'Probe.beer': 17.8 })
    away.keepTelling(20 * HOUR_S, 60, { 'Probe.beer': 17.8 })
    expect(away.kinds()).not.toContain('no response')
  })

  it('expects no cold of a thermostat that can only heat', () => {
    const { cooler: _, ...warm } = smallVessel()
    const engine = new Conversation(
      compile(smallPlan([hold(18)]), { ...warm, thermostat: DEVICE }, smallBeer()),
    )
    engine.start({ 'Probe.beer': 23 })
    engine.keepTelling(20 * HOUR_S, 60, { 'Probe.beer': 23 })
    expect(engine.kinds()).not.toContain('no response')
  })
})

describe('a broken limit', () => {
  it('sets a thermostat to its other end, and stops one that can not bring the beer back', () => {
    const both = talk([hold(20)])
    both.start({ 'Probe.beer': 20 })
    both.tell(10, { 'Probe.beer': 24.5 })
    expect(both.state.thermostat).toMatchObject({ set_C: 2, why: 'limit broken' })
    both.tell(10, { 'Probe.beer': 23.7 })
    expect(both.state.thermostat).toMatchObject({ set_C: 20, why: 'target' })
    both.tell(10, { 'Probe.beer': 24.5 })
    // Nobody would see how cold it gets.
    both.tell(600)
    expect(both.state.thermostat).toMatchObject({ set_C: 20, why: 'beer temperature unknown' })
    const { cooler: _, ...warm } = smallVessel()
    const engine = new Conversation(
      compile(smallPlan([hold(20)]), { ...warm, thermostat: DEVICE }, smallBeer()),
    )
    engine.start({ 'Probe.beer': 20 })
    engine.tell(10, { 'Probe.beer': 24.5 })
    expect(engine.state.thermostat).toMatchObject({ set_C: null, why: 'limit broken' })
    engine.tell(10, { 'Probe.beer': 23.5 })
    expect(engine.state.thermostat).toMatchObject({ set_C: 20, why: 'target' })
  })

  it('stops any, where the plan says so', () => {
    const engine = talk([hold(20)], { limits: { ifBroken: 'switch off' } })
    engine.start({ 'Probe.beer': 20 })
    engine.tell(10, { 'Probe.beer': 24.5 })
    expect(engine.state.thermostat).toMatchObject({ set_C: null, why: 'limit broken' })
  })
})

/*
 * Strategy: random plans, devices and stories of the beer, with silences, restarts and answers.
 * Invariants: see the name of the test. Each command of each call is looked at.
 */
it('in any story, it is never set beyond limits and range, and every lease is renewed in time', ({
  task,
}) => {
  const course: fc.Arbitrary<Stage['course']> = fc.oneof(
    fc.integer({ min: -4, max: 32 }).map(target_C => ({ kind: 'hold', target_C }) as const),
    fc.integer({ min: -4, max: 32 }).map(to_C => ({ kind: 'ramp', to_C, over_s: 20_000 }) as const),
    fc
      .integer({ min: 4, max: 26 })
      .map(cap_C => ({ kind: 'free rise', cap_C, lowest_C: cap_C - 3 }) as const),
    fc.constant({ kind: 'leave alone' } as const),
  )
  const device = fc.record({
    follows: fc.constantFrom('beer' as const, 'air' as const),
    lowest_C: fc.integer({ min: -5, max: 12 }),
    highest_C: fc.integer({ min: 14, max: 35 }),
    resolution_K: fc.constantFrom(0.1, 0.3, 0.5, 1),
    whenUnheard: fc.constantFrom('off' as const, 'keeps its target' as const),
  })
  const step = fc.record({
    after_s: fc.constantFrom(10, 60, 60, 400, 3000),
    change_K: fc.double({ min: -2, max: 2, noNaN: true }),
    happens: fc.constantFrom('reading', 'reading', 'reading', 'reading', 'silence', 'restarted', 'yes'),
  })
  const story = fc.record({
    courses: fc.array(course, { minLength: 1, maxLength: 3 }),
    device,
    method: fc.constantFrom('on-off' as const, 'cascade' as const),
    ifBroken: fc.constantFrom('alarm' as const, 'hold' as const, 'switch off' as const),
    steps: fc.array(step, { minLength: 5, maxLength: 80 }),
  })
  judge(task, { cases: 400 }, [story], ({ courses, device, method, ifBroken, steps }) => {
    const stages = courses.map((each, n) =>
      stage({
        name: `Stage ${n}`,
        course: each,
        until: stageLasted(8000),
        control: { ...ON_OFF, method },
      }),
    )
    const engine = talk(stages, { device, limits: { lowest_C: 3, highest_C: 22, ifBroken } })
    let beer_C = 18
    let fence = 0
    let told: { target_C: number | null; until_s: number } | null = null
    engine.onCall = ({ commands, state }) => {
      for (const command of commands) {
        expect(command.fence).toBeGreaterThan(fence)
        fence = command.fence
        if (command.appliance !== 'thermostat') throw new Error(`a command to the ${command.appliance}`)
        const { target_C } = command
        told = command
        if (target_C === null) continue
        const isAir = state.thermostat!.why === 'air for the beer'
        const lowest_C = isAir ? device.lowest_C : Math.max(device.lowest_C, 3)
        const highest_C = isAir ? device.highest_C : Math.min(device.highest_C, 22)
        expect(target_C).toBeGreaterThanOrEqual(lowest_C)
        expect(target_C).toBeLessThanOrEqual(highest_C)
      }
      // What is set stands in a command that has not lapsed.
      const { set_C } = state.thermostat!
      if (set_C === null) return
      expect(told).toMatchObject({ target_C: set_C })
      expect(told!.until_s).toBeGreaterThan(engine.now_s)
    }
    engine.start({ 'Probe.beer': beer_C })
    for (const { after_s, change_K, happens } of steps) {
      beer_C += change_K
      const edits = happens === 'restarted' ? [{ kind: 'restarted' as const }] : []
      const readings: Record<string, number> = happens === 'reading' ? { 'Probe.beer': beer_C } : {}
      engine.tell(after_s, readings, edits, happens === 'yes' ? 'yes' : null)
      expect(JSON.parse(JSON.stringify(engine.state))).toEqual(engine.state)
    }
  })
})
