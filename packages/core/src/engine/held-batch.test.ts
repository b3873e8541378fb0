import { describe, expect, it } from 'vitest'
import type { Stage } from '../plan/plan.ts'
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
  when,
} from './testing/small-house.ts'

const HOUR_S = 3600
const DAY_S = 86_400

function talk(stages: readonly Stage[]) {
  const engine = new Conversation(compile(smallPlan(stages), smallVessel(), smallBeer()))
  engine.start({ 'Probe.beer': 18 })
  return engine
}

const to = (name: string) => ({ kind: 'stage', name, place: PLACE }) as const
const branch = (lasted_s: number, name: string, askFirst = false) => ({
  when: stageLasted(lasted_s),
  destination: to(name),
  askFirst,
  place: PLACE,
})
const batches = (engine: Conversation) =>
  engine.events.flatMap(event => (event.kind === 'batch' ? [event.to] : []))

const coldBranch = (name: string, askFirst = false) => ({
  ...branch(0, name, askFirst),
  when: when({
    kind: 'compare',
    quantity: 'beer',
    relation: 'at most',
    against: { kind: 'value', value: 17 },
  }),
})

describe('a batch that the brewer holds', () => {
  it('is not moved by a branch whose condition is true, and is as soon as it goes on', () => {
    const engine = talk([stage({ name: 'One', branches: [coldBranch('Two')] }), stage({ name: 'Two' })])
    engine.tell(10, {}, [{ kind: 'hold' }])
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 16.5 })
    expect(engine).toMatchObject({ stageName: 'One', state: { batch: 'held' } })
    engine.tell(10, { 'Probe.beer': 16.5 }, [{ kind: 'resume' }])
    engine.tell(1)
    expect(engine).toMatchObject({ stageName: 'Two', state: { batch: 'running' } })
  })

  it('is not asked about a branch either', () => {
    const engine = talk([stage({ name: 'One', branches: [coldBranch('Two', true)] }), stage({ name: 'Two' })])
    engine.tell(10, {}, [{ kind: 'hold' }])
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 16.5 })
    expect(engine.state.questions).toEqual([])
    engine.tell(10, { 'Probe.beer': 16.5 }, [{ kind: 'resume' }])
    expect(engine.state.questions).toMatchObject([{ about: 'branch', subject: 'Two' }])
  })

  for (const ifLate of [{ kind: 'go on' }, { kind: 'go to', destination: to('Two') }] as const) {
    // It was late already when it was held, and only a task still kept it; then the task is done.
    it(`is not moved by its longest time ("${ifLate.kind}"), and is as soon as it goes on`, () => {
      const tasks = [{ name: 'Add hops', wait: true, place: PLACE }]
      const engine = talk([stage({ name: 'One', atMost_s: 100, ifLate, tasks }), stage({ name: 'Two' })])
      engine.tell(150)
      expect(engine.events.filter(({ kind }) => kind === 'late')).toEqual([
        { kind: 'late', at_s: engine.start_s + 100, stage: 'One', after_s: 100, response: ifLate.kind },
      ])
      engine.tell(10, {}, [{ kind: 'hold' }])
      engine.tell(10, {}, [], 'yes')
      engine.tell(HOUR_S)
      expect(engine).toMatchObject({ stageName: 'One', state: { batch: 'held' } })
      engine.tell(10, {}, [{ kind: 'resume' }])
      engine.tell(1)
      expect(engine.stageName).toBe('Two')
    })
  }

  it('has a dwell go on counting, so that it moves at once when it goes on', () => {
    const warm = when(
      { kind: 'compare', quantity: 'beer', relation: 'at least', against: { kind: 'value', value: 17 } },
      600,
    )
    const engine = talk([stage({ name: 'One', until: warm }), stage({ name: 'Two' })])
    engine.tell(10, { 'Probe.beer': 18 }, [{ kind: 'hold' }])
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('One')
    engine.tell(5, {}, [{ kind: 'resume' }])
    engine.tell(1)
    expect(engine.stageName).toBe('Two')
  })
})

describe('a batch that the plan holds because a stage lasts too long', () => {
  it('is held and asked about once: whoever resumes it is not held again', () => {
    const engine = talk([
      stage({ name: 'One', atMost_s: 100, ifLate: { kind: 'hold' } }),
      stage({ name: 'Two' }),
    ])
    engine.tell(100)
    expect(engine.last!.events).toEqual([
      { kind: 'late', at_s: engine.now_s, stage: 'One', after_s: 100, response: 'hold' },
      {
        kind: 'batch',
        at_s: engine.now_s,
        from: 'running',
        to: 'held',
        why: '"One" has lasted longer than planned',
        by: null,
      },
      {
        kind: 'asked',
        at_s: engine.now_s,
        question: { id: 1, about: 'late', stage: 'One', text: '', subject: '' },
      },
    ])
    engine.tell(10, {}, [{ kind: 'resume' }])
    engine.tell(DAY_S)
    expect(engine).toMatchObject({ stageName: 'One', state: { batch: 'running' } })
    expect(batches(engine)).toEqual(['running', 'held', 'running'])
  })
})

describe('a batch that the plan holds because its condition is unknown', () => {
  const unknown = () =>
    talk([
      stage({
        name: 'One',
        until: gravityAtMost(1.02),
        ifUnknown: { wait_s: HOUR_S, then: { kind: 'hold' }, place: PLACE },
      }),
      stage({ name: 'Two' }),
    ])

  it('is held at the very second, with its reasons, and asked about', () => {
    const engine = unknown()
    engine.tell(HOUR_S)
    expect(engine.state.batch).toBe('running')
    const { events } = engine.tell(1)
    const at_s = engine.now_s
    expect(events).toEqual([
      { kind: 'unknown too long', at_s, stage: 'One', after_s: HOUR_S, response: 'hold' },
      {
        kind: 'batch',
        at_s,
        from: 'running',
        to: 'held',
        why: 'the condition of "One" is unknown',
        by: null,
      },
      {
        kind: 'asked',
        at_s,
        question: { id: 1, about: 'unknown', stage: 'One', text: '', subject: '' },
      },
    ])
  })

  it('is not held again when the brewer resumes it and the gravity is still unknown', () => {
    const engine = unknown()
    engine.tell(HOUR_S + 1)
    engine.tell(10, {}, [{ kind: 'resume' }])
    engine.tell(DAY_S)
    expect(engine.state.batch).toBe('running')
    expect(batches(engine)).toEqual(['running', 'held', 'running'])
    expect(engine.kinds().filter(kind => kind === 'unknown too long')).toHaveLength(1)
  })

  it('stays held when it is known again, and its question stays; "yes" then goes on in the stage', () => {
    const engine = unknown()
    engine.tell(HOUR_S + 1)
    engine.keepTelling(20, 10, { 'Probe.beer': 18, 'Float.gravity': 1.04 })
    expect(engine.state).toMatchObject({
      batch: 'held',
      unknownSince_s: null,
      questions: [{ about: 'unknown' }],
    })
    engine.tell(10, {}, [], 'yes')
    expect(engine).toMatchObject({ stageName: 'One', state: { batch: 'running' } })
  })

  it('is held anew when it is unknown a second time', () => {
    const engine = unknown()
    engine.tell(HOUR_S + 1)
    engine.keepTelling(20, 10, { 'Probe.beer': 18, 'Float.gravity': 1.04 })
    engine.tell(10, {}, [], 'yes')
    engine.tell(2 * DAY_S)
    expect(batches(engine)).toEqual(['running', 'held', 'running', 'held'])
  })

  it('has the question withdrawn by itself where the plan only asks', () => {
    const engine = talk([
      stage({
        name: 'One',
        until: gravityAtMost(1.02),
        ifUnknown: { wait_s: HOUR_S, then: { kind: 'ask' }, place: PLACE },
      }),
    ])
    engine.tell(HOUR_S + 1)
    expect(engine.state).toMatchObject({ batch: 'running', questions: [{ about: 'unknown' }] })
    engine.keepTelling(20, 10, { 'Probe.beer': 18, 'Float.gravity': 1.04 })
    expect(engine.state.questions).toEqual([])
    expect(engine.events.at(-1)).toMatchObject({ kind: 'answered', answer: 'withdrawn' })
  })
})

describe('a task', () => {
  const task = (part: object) => ({ name: 'Taste', wait: false, place: PLACE, ...part })

  it('that need not be waited for keeps no stage, whatever way it is left', () => {
    const two = stage({ name: 'Two' })
    const tasks = [task({})]
    for (const one of [
      stage({ name: 'One', tasks, until: stageLasted(100) }),
      stage({ name: 'One', tasks, branches: [branch(100, 'Two')] }),
      stage({ name: 'One', tasks, atMost_s: 100, ifLate: { kind: 'go on' } }),
    ]) {
      const engine = talk([one, two])
      engine.tell(101)
      expect(engine.stageName).toBe('Two')
      expect(engine.state.questions).toMatchObject([{ about: 'task', subject: 'Taste' }])
    }
  })

  it('that must be waited for keeps the stage from a branch too, and before it has been given', () => {
    const engine = talk([
      stage({
        name: 'One',
        tasks: [task({ name: 'Smell' }), task({ wait: true, when: stageLasted(500) })],
        branches: [branch(100, 'Two')],
      }),
      stage({ name: 'Two' }),
    ])
    engine.tell(400, {}, [], 'yes')
    expect(engine.stageName).toBe('One')
    engine.tell(200)
    expect(engine.stageName).toBe('One')
    engine.tell(10, {}, [], 'yes')
    expect(engine.stageName).toBe('Two')
  })

  it('is said when it is given, once, and put again a day after "not yet"', () => {
    const engine = talk([stage({ name: 'One', tasks: [task({ wait: true, when: stageLasted(50) })] })])
    engine.tell(50)
    const question = { id: 1, about: 'task', stage: 'One', text: 'Taste', subject: 'Taste' }
    expect(engine.last!.events).toEqual([
      { kind: 'task', at_s: engine.now_s, stage: 'One', task: 'Taste', wait: true },
      { kind: 'asked', at_s: engine.now_s, question },
    ])
    engine.tell(10, {}, [], 'not yet')
    engine.tell(DAY_S - 1)
    expect(engine.state.questions).toEqual([])
    engine.tell(1)
    expect(engine.state.questions).toMatchObject([{ about: 'task', id: 2 }])
    engine.tell(10, {}, [], 'yes')
    engine.tell(3 * DAY_S)
    expect(engine.state).toMatchObject({ questions: [], tasksDone: ['Taste'] })
    expect(engine.kinds().filter(kind => kind === 'task')).toHaveLength(1)
  })
})

describe('the next stage', () => {
  // The first stage's target was reached long ago. The rest of the second must not count from then.
  it('counts its rest from its own target, not from that of the stage before', () => {
    const rest = (name: string) =>
      stage({
        name,
        course: { kind: 'hold', target_C: name === 'One' ? 18 : 22 },
        until: when({ kind: 'elapsed', since: 'target', atLeast_s: 600 }),
      })
    const engine = talk([rest('One'), rest('Two')])
    engine.keepTelling(700, 10, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('Two')
    engine.keepTelling(2 * HOUR_S, 10, { 'Probe.beer': 20 })
    expect(engine.state).toMatchObject({ batch: 'running', reachedAt_s: null })
    engine.keepTelling(590, 10, { 'Probe.beer': 22 })
    expect(engine.state.batch).toBe('running')
    engine.keepTelling(20, 10, { 'Probe.beer': 22 })
    expect(engine.state.batch).toBe('complete')
  })
})
