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
  return new Conversation(compile(smallPlan(stages), smallVessel(), smallBeer()))
}

const to = (name: string) => ({ kind: 'stage', name, place: PLACE }) as const
const beerAtLeast = (value: number, lasting_s: number) =>
  when(
    { kind: 'compare', quantity: 'beer', relation: 'at least', against: { kind: 'value', value } },
    lasting_s,
  )

describe('a stage that has just begun', () => {
  it('is looked at in the next second, also when its condition is true at once', () => {
    const engine = talk([stage({ name: 'One', until: stageLasted(0) }), stage({ name: 'Two' })])
    engine.start({ 'Probe.beer': 18 })
    expect(engine.stageName).toBe('One')
    engine.tell(1)
    expect(engine.stageName).toBe('Two')
  })

  it('counts its dwell anew when it is entered a second time', () => {
    const engine = talk([
      stage({ name: 'Warm', until: beerAtLeast(17, 100) }),
      stage({ name: 'Wait', until: stageLasted(10), next: to('Warm') }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(101, 1, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('Wait')
    engine.keepTelling(12, 1, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('Warm')
    engine.keepTelling(90, 1, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('Warm')
    engine.keepTelling(12, 1, { 'Probe.beer': 18 })
    expect(engine.stageName).toBe('Wait')
  })

  it('gives its tasks again when it is entered a second time: what was done then does not count now', () => {
    const task = { name: 'Taste', wait: true, place: PLACE }
    const engine = talk([
      stage({ name: 'Rest', until: stageLasted(10), tasks: [task] }),
      stage({ name: 'Wait', until: stageLasted(10), next: to('Rest') }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(5, {}, [], 'yes')
    engine.tell(10)
    expect(engine.stageName).toBe('Wait')
    engine.tell(100)
    expect(engine.stageName).toBe('Rest')
    expect(engine.state.questions).toMatchObject([{ about: 'task', subject: 'Taste' }])
  })

  it('asks at once although the question was declined in its last turn', () => {
    const engine = talk([
      stage({ name: 'Rest', until: stageLasted(10), askFirst: true }),
      stage({ name: 'Wait', until: stageLasted(10), next: to('Rest') }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(10)
    engine.tell(5, {}, [], 'not yet')
    engine.tell(5, {}, [{ kind: 'go to', stage: 'Wait' }])
    engine.tell(60)
    expect(engine.stageName).toBe('Rest')
    expect(engine.state.questions).toMatchObject([{ about: 'go on' }])
  })
})

describe('the fallback condition', () => {
  it('does not move the batch when the gravity is known again', () => {
    const engine = talk([
      stage({
        name: 'Primary',
        until: gravityAtMost(1.02),
        ifUnknown: { wait_s: HOUR_S, then: { kind: 'use', instead: stageLasted(DAY_S) }, place: PLACE },
      }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(DAY_S - HOUR_S)
    engine.tell(1, { 'Probe.beer': 18, 'Float.gravity': 1.04 })
    engine.keepTelling(2 * DAY_S, 1800, { 'Probe.beer': 18, 'Float.gravity': 1.04 })
    expect(engine.state.batch).toBe('running')
  })
})

describe('a batch that is held', () => {
  it('does not move on until the brewer says so, and then does', () => {
    const engine = talk([stage({ name: 'One', until: stageLasted(100) }), stage({ name: 'Two' })])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(10, {}, [{ kind: 'hold' }])
    engine.tell(1000)
    expect(engine.stageName).toBe('One')
    engine.tell(1, {}, [{ kind: 'resume' }])
    engine.tell(89)
    expect(engine.stageName).toBe('One')
    engine.tell(1)
    expect(engine.stageName).toBe('Two')
  })

  it('is held by a stage that lasts too long, where the plan says so; yes moves on and ends the hold', () => {
    const engine = talk([
      stage({ name: 'One', atMost_s: 100, ifLate: { kind: 'hold' } }),
      stage({ name: 'Two', until: stageLasted(50) }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(100)
    expect(engine.state.batch).toBe('held')
    engine.tell(10, {}, [], 'yes')
    expect(engine.state.batch).toBe('running')
    engine.tell(51)
    expect(engine.state.batch).toBe('complete')
  })
})

describe('a task that must be answered', () => {
  it('holds the batch beyond the longest time of a stage that then goes on by itself', () => {
    const task = { name: 'Add hops', wait: true, place: PLACE }
    const engine = talk([
      stage({ name: 'One', atMost_s: 100, ifLate: { kind: 'go on' }, tasks: [task] }),
      stage({ name: 'Two' }),
    ])
    engine.start({ 'Probe.beer': 18 })
    engine.tell(200)
    expect(engine.stageName).toBe('One')
    engine.tell(1, {}, [], 'yes')
    expect(engine.stageName).toBe('Two')
  })
})

describe('a ramp', () => {
  it('begins at the beer after a free rise, and at the target after a hold', () => {
    const rise = talk([
      stage({ name: 'Rise', course: { kind: 'free rise', cap_C: 24 }, until: stageLasted(100) }),
      stage({ name: 'Cool', course: { kind: 'ramp', to_C: 10, over_s: 10 * HOUR_S } }),
    ])
    rise.start({ 'Probe.beer': 20 })
    rise.keepTelling(110, 10, { 'Probe.beer': 20 })
    expect(rise.state.from_C).toBe(20)
    const hold = talk([
      stage({ name: 'Hold', course: { kind: 'hold', target_C: 18 }, until: stageLasted(100) }),
      stage({ name: 'Cool', course: { kind: 'ramp', to_C: 10, over_s: 10 * HOUR_S } }),
    ])
    hold.start({ 'Probe.beer': 18.4 })
    hold.keepTelling(110, 10, { 'Probe.beer': 18.4 })
    expect(hold.state.from_C).toBe(18)
  })
})
