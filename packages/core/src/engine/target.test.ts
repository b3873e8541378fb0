import fc from 'fast-check'
import { expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { smallBeer, smallPlan, smallVessel, stage } from './testing/small-house.ts'

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
