import { describe, expect, it } from 'vitest'
import { compile } from './compile.ts'
import type { Edit } from './contract.ts'
import type { BatchState } from './events.ts'
import { Conversation } from './testing/conversation.ts'
import { smallBeer, smallPlan, smallVessel, stage, stageLasted } from './testing/small-house.ts'

/** A batch of two stages, brought into a state. */
function batch(state: BatchState): Conversation {
  const stages = [stage({ name: 'One' }), stage({ name: 'Two', until: stageLasted(10) })]
  const engine = new Conversation(compile(smallPlan(stages), smallVessel(), smallBeer()))
  if (state === 'idle') return engine
  engine.start({ 'Probe.beer': 18 })
  if (state === 'held') engine.tell(10, {}, [{ kind: 'hold' }])
  if (state === 'stopped') engine.tell(10, {}, [{ kind: 'stop' }])
  if (state === 'aborted') engine.tell(10, {}, [{ kind: 'abort' }])
  if (state === 'complete') {
    engine.tell(10, {}, [{ kind: 'go to', stage: 'Two' }])
    engine.tell(20)
  }
  expect(engine.state.batch).toBe(state)
  engine.events.length = 0
  return engine
}

const STATES: readonly BatchState[] = ['idle', 'running', 'held', 'complete', 'stopped', 'aborted']

/** What an edit makes of a batch in each state, in the order above. */
const OUTCOMES: readonly (readonly [Edit['kind'], readonly BatchState[], why: string])[] = [
  ['start', ['running', 'running', 'held', 'complete', 'stopped', 'aborted'], 'started'],
  ['hold', ['idle', 'held', 'held', 'complete', 'stopped', 'aborted'], 'the brewer holds it'],
  ['resume', ['idle', 'running', 'running', 'complete', 'stopped', 'aborted'], 'the brewer goes on'],
  ['stop', ['idle', 'stopped', 'stopped', 'stopped', 'stopped', 'aborted'], 'the brewer stops it'],
  ['abort', ['aborted', 'aborted', 'aborted', 'aborted', 'aborted', 'aborted'], 'the brewer aborts it'],
]

describe.each(OUTCOMES)('%s', (kind, outcomes, why) => {
  it.each(STATES.map((from, n) => [from, outcomes[n]!] as const))('makes of %s: %s', (from, to) => {
    const engine = batch(from)
    engine.tell(5, {}, [{ kind } as Edit])
    expect(engine.state.batch).toBe(to)
    const said = engine.events.flatMap(event => (event.kind === 'batch' ? [event] : []))
    if (from === to) expect(said).toEqual([])
    else expect(said).toMatchObject([{ from, to, why }])
    if (from !== to) expect(engine.last!.stands.decidedUntil_s).toBe(engine.now_s + 1)
  })
})

describe('go to', () => {
  it.each([
    ['running', 1],
    ['held', 1],
    ['idle', 0],
    ['stopped', 0],
    ['aborted', 0],
  ] as const)('in a batch that is %s: stage %s', (from, number) => {
    const engine = batch(from)
    engine.tell(5, {}, [{ kind: 'go to', stage: 'Two' }])
    expect(engine.state.stage).toBe(number)
  })

  it('a stage that the plan does not have changes nothing', () => {
    const engine = batch('running')
    engine.tell(5, {}, [{ kind: 'go to', stage: 'Three' }])
    expect(engine.state).toMatchObject({ stage: 0, batch: 'running' })
  })

  it('does not bring a complete batch back', () => {
    const engine = batch('complete')
    engine.tell(5, {}, [{ kind: 'go to', stage: 'One' }])
    expect(engine.state.batch).toBe('complete')
  })
})

describe('the start', () => {
  it('is remembered, and lets the compressor rest, whatever it did before', () => {
    const engine = batch('idle')
    engine.start({ 'Probe.beer': 18 })
    const { start_s } = engine
    expect(engine.state).toMatchObject({ startedAt_s: start_s, cooler: { on: false, since_s: start_s } })
    expect(engine.state.heater.since_s).toBe(null)
    expect(engine.state.cooler.ranUntil_s).toBe(null)
  })
})

describe('a restart of the software', () => {
  it('counts as the end of what was on, and as the beginning of a rest of what was off', () => {
    const engine = batch('running')
    engine.keepTelling(60, 10, { 'Probe.beer': 17.5 })
    expect(engine.state.heater.on).toBe(true)
    engine.tell(5, {}, [{ kind: 'restarted' }])
    const { now_s } = engine
    const rest = { on: false, since_s: now_s, watchFrom_s: null, watchFrom_C: null, hasResponded: false }
    expect(engine.state.heater).toMatchObject({ ...rest, ranUntil_s: now_s })
    expect(engine.state.cooler).toMatchObject({ ...rest, ranUntil_s: null })
    expect(engine.last!.stands.decidedUntil_s).toBe(now_s + 1)
  })
})

describe('another final gravity', () => {
  it('is what is expected from then on', () => {
    const engine = batch('running')
    engine.tell(5, {}, [{ kind: 'expect final gravity', gravity: 1.008 }])
    expect(engine.state.finalGravity).toBe(1.008)
    expect(engine.last!.stands.decidedUntil_s).toBe(engine.now_s + 1)
  })
})
