import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import type { Stage } from '../plan/plan.ts'
import { compile } from './compile.ts'
import type { EngineState } from './contract.ts'
import { Conversation } from './testing/conversation.ts'
import {
  gravityAtMost,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
  when,
} from './testing/small-house.ts'

const HOUR_S = 3600
const hold = [{ kind: 'hold' } as const]
const resume = [{ kind: 'resume' } as const]
const limits = { lowest_C: 0, highest_C: 24, ifBroken: 'hold', place: PLACE } as const

function talk(stages: readonly Stage[]) {
  return new Conversation(compile(smallPlan(stages, { limits }), smallVessel(), smallBeer()))
}

const RAMP = stage({ name: 'Warm', course: { kind: 'ramp', from_C: 18, to_C: 20, over_s: 20 * HOUR_S } })

describe('a ramp that is held', () => {
  it('stands still as long as it is held, and goes on from there without a jump', () => {
    // Seen: held at 19.1 °C, and the target went on to 19.3 °C.
    const engine = talk([RAMP])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(5 * HOUR_S, 600, { 'Probe.beer': 18.5 })
    engine.tell(1, {}, hold)
    const held_C = engine.state.target_C!
    expect(held_C).toBeCloseTo(18.5, 6)
    engine.keepTelling(7 * HOUR_S, 600, { 'Probe.beer': 18.5 })
    expect(engine.state.target_C).toBe(held_C)
    engine.tell(1, {}, resume)
    expect(engine.state.target_C).toBe(held_C)
    engine.keepTelling(15 * HOUR_S - 600, 600, { 'Probe.beer': 19 })
    expect(engine.state.target_C).toBeLessThan(20)
    engine.keepTelling(1200, 600, { 'Probe.beer': 19 })
    expect(engine.state.target_C).toBe(20)
  })

  it('is never more than a step of the ramp from what its own clock says, however often and whoever holds it', ({
    task,
  }) => {
    const turn = fc.record({
      runs_s: fc.integer({ min: 1, max: 4 * HOUR_S }),
      held_s: fc.integer({ min: 1, max: 30 * HOUR_S }),
      by: fc.constantFrom('brewer', 'limit'),
    })
    judge(task, { cases: 60, least: 100 }, [fc.array(turn, { minLength: 1, maxLength: 6 })], turns => {
      const engine = talk([RAMP])
      engine.start({ 'Probe.beer': 18, 'Float.beer': 18 })
      let ran_s = 0
      for (const { runs_s, held_s, by } of turns) {
        engine.keepTelling(runs_s, Math.min(runs_s, 20), { 'Probe.beer': 18 })
        ran_s = engine.now_s - engine.start_s - heldSoFar(engine)
        if (by === 'brewer') engine.tell(1, {}, hold)
        else engine.tell(1, { 'Probe.beer': 18 })
        if (by === 'limit') hotBeer(engine)
        expect(engine.state.batch).toBe('held')
        expect(engine.state.hold).toMatchObject({ by })
        const held_C = engine.state.target_C
        engine.keepTelling(held_s, Math.min(held_s, 2 * HOUR_S), {})
        expect(engine.state.target_C).toBe(held_C)
        engine.tell(1, { 'Probe.beer': 18 }, resume)
        expect(engine.state.batch).toBe('running')
        expect(Math.abs(engine.state.target_C! - held_C!)).toBeLessThanOrEqual(0.05 + 1e-9)
        const clock_s = engine.now_s - engine.start_s - heldSoFar(engine)
        expect(clock_s).toBeGreaterThanOrEqual(ran_s)
        expect(Math.abs(engine.state.target_C! - Math.min(20, 18 + clock_s / (10 * HOUR_S)))).toBeLessThan(
          0.05 + 1e-9,
        )
      }
      return turns.length
    })
  })
})

const heldSoFar = (engine: Conversation) => engine.state.heldInStage_s ?? 0

/** Warm enough that the plan's highest limit holds the batch; in small steps, so that it is believed. */
function hotBeer(engine: Conversation) {
  for (let beer_C = 18; beer_C <= 25; beer_C += 1) engine.tell(1, { 'Probe.beer': beer_C })
}

describe('a free rise that is held', () => {
  const rise = stage({ name: 'Rise', course: { kind: 'free rise', cap_C: 23, lowest_C: 16 } })

  it('keeps the temperature that the beer had, from both sides, and rises again afterwards', () => {
    const engine = talk([rise])
    engine.start({ 'Probe.beer': 19 })
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 20 })
    engine.tell(1, {}, hold)
    expect(engine.state.target_C).toBe(20)
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 21 })
    expect(engine.state.cooler.on).toBe(true)
    engine.keepTelling(2 * HOUR_S, 10, { 'Probe.beer': 19 })
    expect(engine.state.heater.on).toBe(true)
    engine.tell(1, {}, resume)
    expect(engine.state.target_C).toBe(23)
    expect(engine.state.heater.on).toBe(false)
  })

  it('keeps the beer where it is found, when nobody knew its temperature at the time', () => {
    const engine = talk([rise])
    engine.start()
    engine.tell(1, {}, hold)
    engine.tell(10, { 'Probe.beer': 19 })
    engine.tell(10, { 'Probe.beer': 19.2 })
    engine.tell(10, { 'Probe.beer': 19.2 })
    expect(engine.state.hold?.keeps_C).toBeGreaterThanOrEqual(19)
    expect(engine.state.target_C).toBe(engine.state.hold?.keeps_C)
  })
})

describe("the stage's clock stands still while a batch is held", () => {
  const lateBranch = {
    when: stageLasted(200),
    destination: { kind: 'stage', name: 'Elsewhere', place: PLACE },
    askFirst: false,
    place: PLACE,
  } as const

  it.each([
    ['the time in the stage', stage({ name: 'One', until: stageLasted(200) }), 'Two'],
    ['the longest time', stage({ name: 'One', atMost_s: 200, ifLate: { kind: 'go on' } }), 'Two'],
    [
      'the time since the target was reached',
      stage({
        name: 'One',
        until: when({ kind: 'elapsed', since: 'target', atLeast_s: 200 }),
      }),
      'Two',
    ],
    ['a branch by time', stage({ name: 'One', branches: [lateBranch] }), 'Elsewhere'],
  ])('for %s', (_, one, next) => {
    const engine = talk([one, stage({ name: 'Two' }), stage({ name: 'Elsewhere' })])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(100, 10, { 'Probe.beer': 18 })
    engine.tell(1, {}, hold)
    engine.keepTelling(5000, 10, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('One')
    expect(engine.kinds()).not.toContain('late')
    engine.tell(1, {}, resume)
    engine.keepTelling(80, 10, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('One')
    engine.keepTelling(50, 10, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe(next)
  })

  it("the beer's does not: what the gravity has come to meanwhile counts at once", () => {
    const engine = talk([stage({ name: 'One', until: gravityAtMost(1.02) }), stage({ name: 'Two' })])
    engine.start({ 'Probe.beer': 18, 'Float.gravity': 1.05 })
    engine.keepTelling(10 * HOUR_S, 1800, { 'Probe.beer': 18, 'Float.gravity': 1.035 })
    engine.tell(1, {}, hold)
    for (let reports = 0; reports < 6; reports++)
      engine.tell(1800, { 'Probe.beer': 18, 'Float.gravity': 1.019 })
    expect(engine.stageName).toBe('One')
    engine.tell(1, { 'Probe.beer': 18 }, resume)
    engine.tell(1)
    expect(engine.stageName).toBe('Two')
  })

  it('a stage that is entered from a hold begins with a clock of its own', () => {
    const engine = talk([stage({ name: 'One' }), stage({ name: 'Two', until: stageLasted(100) })])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(10, {}, hold)
    engine.tell(500, {}, [{ kind: 'go to', stage: 'Two' }])
    expect(engine.state).toMatchObject({ batch: 'running', hold: null, heldInStage_s: 0 })
    engine.tell(99)
    expect(engine.state.batch).toBe('running')
    engine.tell(1)
    expect(engine.state.batch).toBe('complete')
  })
})

describe('a plan that is complete', () => {
  it('keeps the beer at the last target, also when that was in the middle of a ramp', () => {
    const engine = talk([{ ...RAMP, until: stageLasted(10 * HOUR_S) }])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(10 * HOUR_S + 600, 600, { 'Probe.beer': 18.5 })
    expect(engine.state.batch).toBe('complete')
    const { target_C } = engine.state
    engine.keepTelling(5 * HOUR_S, 600, { 'Probe.beer': 18.5 })
    expect(engine.state.target_C).toBe(target_C)
  })
})

describe('a batch that an older version held', () => {
  it('is taken up as held since the last call of that version', () => {
    const engine = talk([RAMP])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(5 * HOUR_S, 600, { 'Probe.beer': 18.5 })
    const { hold: _, heldInStage_s, heldSinceReached_s, ...older } = engine.state
    expect([heldInStage_s, heldSinceReached_s]).toEqual([0, 0])
    engine.state = { ...(older as EngineState), batch: 'held' }
    const since_s = engine.now_s
    engine.keepTelling(5 * HOUR_S, 600, { 'Probe.beer': 18.5 })
    expect(engine.state.hold).toEqual({ since_s, by: 'brewer', keeps_C: null })
    expect(engine.state.target_C).toBeCloseTo(18.5, 6)
    engine.tell(1, {}, resume)
    expect(engine.state.target_C).toBeCloseTo(18.5, 6)
  })
})
