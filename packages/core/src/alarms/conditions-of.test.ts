import { describe, expect, it } from 'vitest'
import { compile } from '../engine/compile.ts'
import { Conversation } from '../engine/testing/conversation.ts'
import {
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
} from '../engine/testing/small-house.ts'
import type { Plan, Stage } from '../plan/plan.ts'
import { conditionsOf } from './conditions-of.ts'

const codes = ({ program, state }: Conversation) => conditionsOf(program, state).map(({ code }) => code)

function complete(side: 'fermentation' | 'hot side') {
  const plan = smallPlan([stage({ name: 'Primary', until: stageLasted(10) })], { side })
  const engine = new Conversation(compile(plan, smallVessel(), smallBeer()))
  engine.start({ 'Probe.beer': 18 })
  engine.tell(10)
  expect(engine.state.batch).toBe('complete')
  return engine
}

describe('after the end of the plan', () => {
  it('a fermentation that is still kept at its last target still calls when its temperature is lost', () => {
    const engine = complete('fermentation')
    expect(codes(engine)).toEqual([])
    engine.tell(3600)
    expect(codes(engine)).toContain('beer-temperature-unknown')
    engine.tell(10, {}, [{ kind: 'stop' }])
    expect(codes(engine)).toEqual([])
  })

  it('a kettle, in which everything is off, calls nobody', () => {
    const engine = complete('hot side')
    engine.tell(3600)
    expect(codes(engine)).toEqual([])
  })
})

describe('a batch that is held', () => {
  const holding = (plan: Partial<Plan>, primary: Partial<Stage>) => {
    const until = stageLasted(86_400)
    const stages = [stage({ name: 'Primary', until, ...primary }), stage({ name: 'Rest', until })]
    const engine = new Conversation(compile(smallPlan(stages, plan), smallVessel(), smallBeer()))
    engine.start({ 'Probe.beer': 18 })
    return engine
  }

  it('by its brewer calls nobody, also while the plan asks something else', () => {
    const engine = holding({}, { askFirst: true, until: stageLasted(10) })
    engine.tell(5, {}, [{ kind: 'hold' }])
    expect(engine.state.batch).toBe('held')
    expect(codes(engine)).toEqual([])
    engine.tell(10, { 'Probe.beer': 18 }, [{ kind: 'resume' }])
    engine.tell(10)
    engine.tell(5, {}, [{ kind: 'hold' }])
    expect(codes(engine)).toEqual(['question-open'])
  })

  it('by a broken limit calls until somebody has said whether it may go on', () => {
    const engine = holding({ limits: { lowest_C: 0, highest_C: 20, ifBroken: 'hold', place: PLACE } }, {})
    engine.tell(10, { 'Probe.beer': 21 })
    engine.tell(10, { 'Probe.beer': 19 })
    expect(engine.state.batch).toBe('held')
    expect(codes(engine)).toEqual(['batch-held', 'question-open'])
    engine.tell(10, {}, [], 'not yet')
    expect(engine.state.batch).toBe('held')
    expect(codes(engine)).toEqual([])
  })

  it('by a stage that is late calls; one that only asks does not when its brewer holds it', () => {
    const late = (kind: 'hold' | 'ask') => holding({}, { atMost_s: 15, ifLate: { kind } })
    const held = late('hold')
    held.tell(16, { 'Probe.beer': 18 })
    expect(codes(held)).toEqual(['batch-held', 'question-open'])
    const asking = late('ask')
    asking.tell(16, { 'Probe.beer': 18 }, [{ kind: 'hold' }])
    expect(asking.state.batch).toBe('held')
    expect(codes(asking)).toEqual(['question-open'])
  })
})
