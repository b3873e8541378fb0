import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import type { Stage } from '../plan/plan.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { PLACE, smallBeer, smallPlan, smallVessel, stage, stageLasted } from './testing/small-house.ts'

const FROM_C = 18
const STEP_K = 0.05

it('a ramp asks to be called at each of its steps, and at no other second', ({ task }) => {
  const any = fc.record({
    to_C: fc.double({ min: 2, max: 30, noNaN: true }).filter(to_C => Math.abs(to_C - FROM_C) > 2 * STEP_K),
    over_s: fc.integer({ min: 600, max: 400_000 }),
  })
  judge(task, { cases: 100 }, [any], ({ to_C, over_s }) => {
    const ramp = stage({ name: 'Ramp', course: { kind: 'ramp', from_C: FROM_C, to_C, over_s } })
    const engine = new Conversation(compile(smallPlan([ramp]), smallVessel(), smallBeer()))
    engine.start()
    engine.tell(1)
    expect(engine.state.target_C).toBe(FROM_C)
    for (let calls = 0; calls < 20; calls++) {
      const before_C = engine.state.target_C!
      const until_s = engine.last!.stands.until_s
      if (before_C === to_C) return
      engine.tell(until_s - 1 - engine.now_s)
      expect(engine.state.target_C).toBe(before_C)
      engine.tell(1)
      expect(engine.state.target_C).not.toBe(before_C)
      const moved_K = ((engine.now_s - engine.start_s) / over_s) * Math.abs(to_C - FROM_C)
      expect(Math.abs(Math.abs(engine.state.target_C! - FROM_C) - moved_K)).toBeLessThan(STEP_K + 1e-9)
    }
  })
})

describe('the target', () => {
  const talk = (part: Partial<Stage>, side: 'fermentation' | 'hot side' = 'fermentation') => {
    const limits = { lowest_C: 0, highest_C: 120, ifBroken: 'alarm', place: PLACE } as const
    const stages = [stage({ name: 'One', ...part })]
    return new Conversation(compile(smallPlan(stages, { side, limits }), smallVessel(), smallBeer()))
  }
  const reached = (engine: Conversation) => engine.events.filter(({ kind }) => kind === 'target reached')

  it.each([
    [{ kind: 'hold', target_C: 19 }, 19],
    [{ kind: 'free rise', cap_C: 22, lowest_C: 17 }, 22],
    [{ kind: 'leave alone' }, null],
    [{ kind: 'boil', power: 1, from_C: 99 }, 99],
  ] as const)('of %o is %s', (course, target_C) => {
    const engine = talk({ course })
    engine.start({ 'Probe.beer': 12 })
    expect(engine.state.target_C).toBe(target_C)
  })

  it.each([
    [18.5, 19, true],
    [18.49, 19, false],
    [19.5, 19, true],
    [19.51, 19, false],
  ])('counts as reached from half a kelvin away on: %s of %s °C: %s', (beer_C, target_C, isReached) => {
    const engine = talk({ course: { kind: 'hold', target_C } })
    engine.start({ 'Probe.beer': beer_C })
    const event = { kind: 'target reached', at_s: engine.now_s, stage: 'One', target_C, beer_C }
    expect(reached(engine)).toEqual(isReached ? [event] : [])
    expect(engine.state.reachedAt_s).toBe(isReached ? engine.now_s : null)
  })

  it('is reached once, by a ramp at its end, and by a boil also above it', () => {
    const ramp = talk({ course: { kind: 'ramp', from_C: 18, to_C: 20, over_s: 4000 } })
    ramp.start({ 'Probe.beer': 18 })
    ramp.keepTelling(3000, 10, { 'Probe.beer': 18.5 })
    expect(reached(ramp)).toEqual([])
    ramp.keepTelling(60, 10, { 'Probe.beer': 19.6 })
    ramp.keepTelling(60, 10, { 'Probe.beer': 18 })
    ramp.keepTelling(60, 10, { 'Probe.beer': 20 })
    expect(reached(ramp)).toMatchObject([{ target_C: 20, beer_C: 19.6 }])
    const boil = talk({ course: { kind: 'boil', power: 1, from_C: 98 } }, 'hot side')
    boil.start({ 'Probe.beer': 101 })
    expect(reached(boil)).toHaveLength(1)
  })

  it('of a ramp at a rate moves in steps of 0.05 K, down as up, and ends at its end', () => {
    const engine = talk({ course: { kind: 'ramp', from_C: 18, to_C: 17.9, rate_K_per_s: 0.001 } })
    engine.start({ 'Probe.beer': 18 })
    const seen: number[] = []
    for (let at_s = 10; at_s <= 120; at_s += 10) {
      engine.tell(10, { 'Probe.beer': 18 })
      seen.push(Number(engine.state.target_C!.toFixed(3)))
    }
    expect(seen).toEqual([18, 18, 18, 18, 17.95, 17.95, 17.95, 17.95, 17.95, 17.9, 17.9, 17.9])
  })

  it('of a ramp without a beginning starts where the beer is, also when that is known only later', () => {
    const engine = talk({ course: { kind: 'ramp', to_C: 20, over_s: 40_000 } })
    engine.start()
    expect(engine.state).toMatchObject({ target_C: 20, from_C: null })
    engine.tell(10, { 'Probe.beer': 18 })
    engine.tell(10, { 'Probe.beer': 18 })
    expect(engine.state).toMatchObject({ target_C: 18, from_C: 18 })
  })

  it('is kept when the plan is complete, in a fermentation; wort on the hot side is left', () => {
    const cold = talk({ until: stageLasted(10), course: { kind: 'hold', target_C: 19 } })
    cold.start({ 'Probe.beer': 18 })
    cold.tell(60)
    expect(cold.state).toMatchObject({ batch: 'complete', target_C: 19 })
    const hot = talk({ until: stageLasted(10), course: { kind: 'hold', target_C: 66 } }, 'hot side')
    hot.start({ 'Probe.beer': 60 })
    hot.tell(50)
    expect(hot.state).toMatchObject({ batch: 'complete', target_C: null })
  })
})
