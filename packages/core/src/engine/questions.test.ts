import { describe, expect, it } from 'vitest'
import { advance } from './advance.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { PLACE, smallBeer, smallPlan, smallVessel, stage, stageLasted } from './testing/small-house.ts'

const HOUR_S = 3600
const DAY_S = 86_400

function talk(stages: Parameters<typeof smallPlan>[0], ifBroken: 'alarm' | 'hold' = 'alarm') {
  const limits = { lowest_C: 0, highest_C: 24, ifBroken, place: PLACE }
  return new Conversation(compile(smallPlan(stages, { limits }), smallVessel(), smallBeer()))
}

const open = (engine: Conversation) => engine.state.questions.map(({ about }) => about)

/** A 'not yet' is no answer for ever: whatever still waits for the brewer is asked again a day later. */
describe('after "not yet"', () => {
  it('a task that holds the batch is put again', () => {
    const task = { name: 'Add hops', wait: true, place: PLACE }
    const engine = talk([stage({ name: 'Primary', until: stageLasted(10), tasks: [task] })])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(10)
    expect(open(engine)).toEqual(['task'])
    engine.tell(10, {}, [], 'not yet')
    engine.tell(DAY_S - 1)
    expect(open(engine)).toEqual([])
    engine.tell(1)
    expect(open(engine)).toEqual(['task'])
    engine.tell(1, {}, [], 'yes')
    expect(engine.state.batch).toBe('complete')
  })

  it('an appliance that was stopped because nothing answered it can still be switched on again', () => {
    const engine = talk([stage({ name: 'Primary' })])
    engine.start({ 'Probe.beer': 16 })
    engine.keepTelling(3 * HOUR_S + 20, 10, { 'Probe.beer': 16.1 })
    expect(open(engine)).toEqual(['no response'])
    engine.tell(10, { 'Probe.beer': 16.1 }, [], 'not yet')
    engine.keepTelling(DAY_S - 60, 30, { 'Probe.beer': 16.1 })
    expect(open(engine)).toEqual([])
    engine.keepTelling(60, 30, { 'Probe.beer': 16.1 })
    expect(open(engine)).toEqual(['no response'])
    engine.tell(10, { 'Probe.beer': 16.1 }, [], 'yes')
    expect(engine.state.heater.on).toBe(true)
  })

  it('a batch that is held by a broken limit is asked about again', () => {
    const engine = talk([stage({ name: 'Primary' })], 'hold')
    engine.start({ 'Probe.beer': 24.5 })
    expect(open(engine)).toEqual(['limit'])
    engine.tell(10, { 'Probe.beer': 24.5 }, [], 'not yet')
    engine.keepTelling(DAY_S + 60, 30, { 'Probe.beer': 24.5 })
    expect(open(engine)).toContain('limit')
  })
})

describe('a batch that was held because its condition was unknown', () => {
  it('is not left held without a question when the condition is known again', () => {
    const engine = talk([
      stage({
        name: 'Primary',
        until: {
          kind: 'compare',
          quantity: 'gravity',
          relation: 'at most',
          against: { kind: 'value', value: 1.02 },
          lasting_s: 0,
          place: PLACE,
        },
        ifUnknown: { wait_s: HOUR_S, then: { kind: 'hold' }, place: PLACE },
      }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(2 * HOUR_S, 60, { 'Probe.beer': 18 })
    expect(engine.state.batch).toBe('held')
    for (let report = 0; report < 4; report++) {
      engine.tell(1800, { 'Probe.beer': 18, 'Float.gravity': 1.045 })
    }
    expect(engine.state.batch === 'held' && engine.state.questions.length === 0).toBe(false)
  })
})

describe('several questions', () => {
  const PLACE_OF = smallVessel().place
  const task = (name: string) => ({ name, wait: false, place: PLACE_OF })
  const two = () => {
    const engine = new Conversation(
      compile(
        smallPlan([
          stage({ name: 'One', tasks: [task('Taste'), task('Smell')] }),
          stage({ name: 'Two', tasks: [task('Taste')] }),
        ]),
        smallVessel(),
        smallBeer(),
      ),
    )
    engine.start({ 'Probe.beer': 18 })
    engine.tell(1)
    return engine
  }
  const answer = (engine: Conversation, question: number, answer: 'yes' | 'not yet') => {
    engine.now_s += 10
    const answers = [{ question, answer }]
    engine.last = advance(engine.program, engine.state, {
      now_s: engine.now_s,
      readings: [],
      answers,
      edits: [],
    })
    engine.state = engine.last.state
  }
  const subjects = (engine: Conversation) => engine.state.questions.map(({ subject }) => subject)

  it('are answered one by one: the others stay open', () => {
    const engine = two()
    expect(subjects(engine)).toEqual(['Taste', 'Smell'])
    answer(engine, 2, 'yes')
    expect(engine.state).toMatchObject({ tasksDone: ['Smell'], questions: [{ id: 1 }], declined: [] })
    answer(engine, 7, 'yes')
    expect(subjects(engine)).toEqual(['Taste'])
  })

  it('of which one was declined are put again one by one, at the very second, and then count as open', () => {
    const engine = two()
    answer(engine, 1, 'not yet')
    const declined_s = engine.now_s
    answer(engine, 2, 'not yet')
    expect(engine.state.declined).toHaveLength(2)
    expect(engine.state.questions).toEqual([])
    // A day after 'not yet', and not only when somebody calls.
    engine.tell(86_400 - 10)
    expect(subjects(engine)).toEqual(['Taste'])
    expect(engine.state.declined).toMatchObject([{ key: expect.stringContaining('Smell') }])
    engine.tell(3600)
    expect(subjects(engine)).toEqual(['Taste', 'Smell'])
    expect(engine.state.declined).toEqual([])
    const asked = engine.events.filter(({ kind }) => kind === 'asked').slice(2)
    expect(asked.map(({ at_s }) => at_s - declined_s)).toEqual([86_400, 86_410])
  })

  it('that say the same in another stage are another question', () => {
    const engine = two()
    engine.tell(10, {}, [{ kind: 'go to', stage: 'Two' }])
    engine.tell(1)
    expect(engine.state.questions.map(({ stage, subject }) => `${stage}/${subject}`)).toEqual([
      'One/Taste',
      'One/Smell',
      'Two/Taste',
    ])
  })
})
