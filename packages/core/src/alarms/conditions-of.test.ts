import { describe, expect, it } from 'vitest'
import { compile } from '../engine/compile.ts'
import { Conversation } from '../engine/testing/conversation.ts'
import { smallBeer, smallPlan, smallVessel, stage, stageLasted } from '../engine/testing/small-house.ts'
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
