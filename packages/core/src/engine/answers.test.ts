import { describe, expect, it } from 'vitest'
import type { Stage } from '../plan/plan.ts'
import { advance } from './advance.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import {
  gravityAtMost,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
} from './testing/small-house.ts'

/** What an answer moves, and what it does not. */
const HOUR_S = 3600
const to = (name: string) => ({ kind: 'stage', name, place: PLACE }) as const

function talk(one: Partial<Stage>) {
  const stages = [
    stage({ name: 'One', ...one }),
    stage({ name: 'Two' }),
    stage({ name: 'Three' }),
    stage({ name: 'Four' }),
  ]
  const engine = new Conversation(compile(smallPlan(stages), smallVessel(), smallBeer()))
  engine.start({ 'Probe.beer': 18 })
  return engine
}

const moves = (engine: Conversation) =>
  engine.events
    .flatMap(event => (event.kind === 'stage' ? [[event.from, event.stage, event.why]] : []))
    .slice(1)

const branch = (name: string, lasted_s: number) => ({
  when: stageLasted(lasted_s),
  destination: to(name),
  askFirst: true,
  question: `To ${name}?`,
  place: PLACE,
})

describe('"yes"', () => {
  it('to going on goes where the stage leads to, and to a branch where that does', () => {
    const asked = { until: stageLasted(10), askFirst: true, question: 'Ready?', next: to('Three') }
    const engine = talk(asked)
    engine.tell(10)
    expect(engine.state.questions).toMatchObject([
      { about: 'go on', stage: 'One', text: 'Ready?', subject: '' },
    ])
    engine.tell(5, {}, [], 'yes')
    expect(moves(engine)).toEqual([['One', 'Three', 'condition']])
    const branching = talk({ branches: [branch('Four', 10), branch('Three', 20)] })
    branching.tell(20)
    expect(branching.state.questions).toMatchObject([
      { about: 'branch', text: 'To Four?', subject: 'Four' },
      { about: 'branch', text: 'To Three?', subject: 'Three' },
    ])
    const answers = [{ question: 2, answer: 'yes' as const }]
    const { state, events } = advance(branching.program, branching.state, {
      now_s: branching.now_s + 5,
      readings: [],
      answers,
      edits: [],
    })
    expect(state.stage).toBe(2)
    expect(state.questions).toEqual([])
    expect(events).toContainEqual(expect.objectContaining({ kind: 'stage', stage: 'Three', why: 'branch' }))
    expect(events).toContainEqual(expect.objectContaining({ kind: 'answered', answer: 'withdrawn' }))
  })

  it('to a stage that is late goes where the plan says for that', () => {
    const engine = talk({ atMost_s: 100, ifLate: { kind: 'ask' }, next: to('Three') })
    engine.tell(100)
    expect(engine.state.questions).toMatchObject([{ about: 'late', stage: 'One', subject: '' }])
    engine.tell(5, {}, [], 'yes')
    expect(moves(engine)).toEqual([['One', 'Three', 'answer']])
  })

  it('to a condition that is unknown goes on to the next stage', () => {
    const ifUnknown = { wait_s: HOUR_S, then: { kind: 'ask' }, place: PLACE } as const
    const engine = talk({ until: gravityAtMost(1.02), ifUnknown, next: to('Four') })
    engine.tell(HOUR_S + 1)
    engine.tell(5, {}, [], 'yes')
    expect(moves(engine)).toEqual([['One', 'Four', 'answer']])
  })

  it('moves nothing in a batch that has been stopped', () => {
    const engine = talk({ until: stageLasted(10), askFirst: true })
    engine.tell(10)
    engine.tell(5, {}, [{ kind: 'stop' }])
    engine.tell(5, {}, [], 'yes')
    expect(engine.state).toMatchObject({ batch: 'stopped', stage: 0 })
  })
})

describe('"not yet"', () => {
  it('moves nothing, and neither does a task that is not done', () => {
    const tasks = [{ name: 'Taste', wait: true, place: PLACE }]
    const engine = talk({ until: stageLasted(10), askFirst: true, tasks })
    engine.tell(10)
    engine.tell(5, {}, [], 'not yet')
    engine.tell(HOUR_S)
    expect(engine.state).toMatchObject({ stage: 0, tasksDone: [] })
  })
})

describe('a task', () => {
  it('that is answered twice is done once', () => {
    const tasks = [{ name: 'Taste', wait: false, place: PLACE }]
    const engine = talk({ tasks, until: stageLasted(100) })
    engine.tell(1)
    engine.tell(1, {}, [], 'yes')
    expect(engine.state.tasksDone).toEqual(['Taste'])
    expect(moves(engine)).toEqual([])
  })
})

describe('a stage that begins', () => {
  it('withdraws the questions of the one before, but for tasks, limits and appliances that were stopped', () => {
    const tasks = [{ name: 'Taste', wait: false, place: PLACE }]
    const engine = talk({
      until: stageLasted(10),
      askFirst: true,
      tasks,
      atMost_s: 50,
      ifLate: { kind: 'ask' },
    })
    engine.tell(60)
    expect(engine.state.questions.map(({ about }) => about)).toEqual(['task', 'go on', 'late'])
    engine.tell(5, {}, [{ kind: 'go to', stage: 'Two' }])
    expect(engine.state.questions.map(({ about }) => about)).toEqual(['task'])
    expect(engine.state).toMatchObject({
      stageSince_s: engine.now_s,
      unknownSince_s: null,
      fallback: false,
      lateAt_s: null,
      declined: [],
    })
    expect(engine.events.filter(({ kind }) => kind === 'stage').at(-1)).toEqual({
      kind: 'stage',
      at_s: engine.now_s,
      stage: 'Two',
      from: 'One',
      why: 'edit',
    })
  })

  it('is the end of the plan after the last one, and that is said with how it ended', () => {
    const engine = talk({ until: stageLasted(10), next: { kind: 'finish' } })
    engine.tell(10)
    expect(engine.events.at(-1)).toEqual({
      kind: 'batch',
      at_s: engine.now_s,
      from: 'running',
      to: 'complete',
      why: 'the plan is done',
      by: 'condition',
    })
    expect(engine.state).toMatchObject({ batch: 'complete', stage: 0 })
  })

  it('falls back to another condition only as long as its own is unknown, and says so', () => {
    const ifUnknown = { wait_s: 100, then: { kind: 'use', instead: stageLasted(500) }, place: PLACE } as const
    const engine = talk({ until: gravityAtMost(1.02), ifUnknown })
    engine.tell(499)
    expect(moves(engine)).toEqual([])
    expect(engine.state).toMatchObject({ fallback: true, questions: [] })
    engine.tell(1)
    expect(moves(engine)).toEqual([['One', 'Two', 'fallback']])
  })
})

describe('a batch that is held', () => {
  // Whoever lets an appliance run again has not said that the batch may go on.
  it('stays held when the answer is about an appliance', () => {
    const engine = talk({})
    engine.keepTelling(3 * HOUR_S + 60, 10, { 'Probe.beer': 15 })
    expect(engine.state.heater.lockedOut).toBe(true)
    engine.tell(10, { 'Probe.beer': 15 }, [{ kind: 'hold' }])
    engine.tell(10, { 'Probe.beer': 15 }, [], 'yes')
    expect(engine.state).toMatchObject({
      batch: 'held',
      hold: { by: 'brewer' },
      heater: { lockedOut: false },
    })
  })

  it('says by whom, and goes on in another stage because it was moved on', () => {
    const late = talk({ atMost_s: 100, ifLate: { kind: 'hold' } })
    late.tell(100)
    expect(late.state.hold).toMatchObject({ by: 'late', since_s: late.now_s })
    late.tell(5, {}, [{ kind: 'go to', stage: 'Two' }])
    expect(late.events.at(-1)).toMatchObject({ kind: 'batch', from: 'held', to: 'running', why: 'moved on' })
  })
})

describe('a gravity that is known again', () => {
  const ifUnknown = (kind: 'ask' | 'hold') => ({ wait_s: 100, then: { kind }, place: PLACE }) as const
  const tasks = [{ name: 'Taste', wait: false, place: PLACE }]
  const known = (engine: Conversation) => {
    engine.tell(10, { 'Probe.beer': 18, 'Float.gravity': 1.045 })
    engine.tell(10, { 'Probe.beer': 18, 'Float.gravity': 1.045 })
    return engine.state.questions.map(({ about }) => about)
  }

  it('withdraws the question about it, and no other', () => {
    const engine = talk({ until: gravityAtMost(1.02), ifUnknown: ifUnknown('ask'), tasks })
    engine.tell(102)
    expect(engine.state.questions.map(({ about }) => about)).toEqual(['task', 'unknown'])
    expect(known(engine)).toEqual(['task'])
  })

  it('withdraws it also when the brewer holds the batch, or has gone on before', () => {
    const held = talk({ until: gravityAtMost(1.02), ifUnknown: ifUnknown('ask') })
    held.tell(102)
    held.tell(1, {}, [{ kind: 'hold' }])
    expect(known(held)).toEqual([])
    const resumed = talk({ until: gravityAtMost(1.02), ifUnknown: ifUnknown('hold') })
    resumed.tell(102)
    expect(resumed.state.hold).toMatchObject({ by: 'unknown' })
    resumed.tell(1, {}, [{ kind: 'resume' }])
    expect(known(resumed)).toEqual([])
  })
})

describe('a ramp after a ramp', () => {
  it('goes on from the target, not from the beer', () => {
    const stages = [
      stage({
        name: 'One',
        course: { kind: 'ramp', from_C: 18, to_C: 20, over_s: 4000 },
        until: stageLasted(2000),
      }),
      stage({ name: 'Two', course: { kind: 'ramp', to_C: 22, over_s: 4000 } }),
    ]
    const engine = new Conversation(compile(smallPlan(stages), smallVessel(), smallBeer()))
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(2010, 10, { 'Probe.beer': 18.3 })
    expect(engine.stageName).toBe('Two')
    expect(engine.state.from_C).toBeCloseTo(18.95, 9)
  })
})
