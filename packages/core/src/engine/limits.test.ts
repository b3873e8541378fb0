import { describe, expect, it } from 'vitest'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { PLACE, smallBeer, smallPlan, smallVessel, stage, stageLasted } from './testing/small-house.ts'

const HOUR_S = 3600

type IfBroken = 'alarm' | 'hold' | 'switch off'

function talk(target_C: number, ifBroken: IfBroken, part: Parameters<typeof stage>[0] | object = {}) {
  const limits = { lowest_C: 16, highest_C: 20, ifBroken, place: PLACE } as const
  const stages = [stage({ name: 'Primary', course: { kind: 'hold', target_C }, ...part })]
  return new Conversation(compile(smallPlan(stages, { limits }), smallVessel(), smallBeer()))
}

describe('at the highest limit of the plan', () => {
  // A ramp or an edit may ask for more than the plan allows at all: heat is wanted, and must not be given.
  it('nothing heats, although the target is higher still, and below it heating goes on', () => {
    const engine = talk(22, 'alarm')
    engine.start({ 'Probe.beer': 19.9 })
    expect(engine.state.heater.on).toBe(true)
    expect(engine.last!.stands.upper[0]).toBe(20)
    const { events } = engine.tell(10, { 'Probe.beer': 20 })
    expect(engine.state.heater.on).toBe(false)
    expect(events).toEqual([
      {
        kind: 'switched',
        at_s: engine.now_s,
        appliance: 'heater',
        on: false,
        why: 'highest limit',
        target_C: 22,
        beer_C: 20,
      },
      { kind: 'withheld', at_s: engine.now_s, appliance: 'heater', why: 'highest limit', until_s: null },
    ])
    expect(engine.tell(10, { 'Probe.beer': 20 }).events).toEqual([])
    engine.keepTelling(60, 10, { 'Probe.beer': 20.5 })
    expect(engine.state.heater.on).toBe(false)
    engine.tell(10, { 'Probe.beer': 19.99 })
    expect(engine.state.heater.on).toBe(true)
  })

  it('the cooler still runs', () => {
    const engine = talk(18, 'alarm')
    engine.start({ 'Probe.beer': 21 })
    engine.keepTelling(300, 10, { 'Probe.beer': 21 })
    expect(engine.state.cooler.on).toBe(true)
  })
})

describe('at the lowest limit of the plan', () => {
  it('nothing cools, although the target is lower still, and above it cooling goes on', () => {
    const engine = talk(14, 'alarm')
    engine.start({ 'Probe.beer': 16.1 })
    engine.keepTelling(300, 10, { 'Probe.beer': 16.1 })
    expect(engine.state.cooler.on).toBe(true)
    expect(engine.last!.stands.lower[0]).toBe(16)
    expect(engine.tell(10, { 'Probe.beer': 16 }).events).toMatchObject([
      { kind: 'switched', appliance: 'cooler', on: false, why: 'lowest limit' },
      { kind: 'withheld', appliance: 'cooler', why: 'lowest limit', until_s: null },
    ])
    engine.keepTelling(600, 10, { 'Probe.beer': 16 })
    expect(engine.state.cooler.on).toBe(false)
    engine.tell(10, { 'Probe.beer': 16.01 })
    expect(engine.state.cooler.on).toBe(true)
  })

  it('the heater still runs', () => {
    const engine = talk(18, 'alarm')
    engine.start({ 'Probe.beer': 15 })
    expect(engine.state.heater.on).toBe(true)
  })

  // Both are wanted, because the bands overlap. The cooler may not run, so it is no rival of the heater.
  it('the heater does not wait for a cooler that is not allowed to run', () => {
    const limits = { lowest_C: 18, highest_C: 24, ifBroken: 'alarm', place: PLACE } as const
    const both = { heatStart_K: -0.5, heatStop_K: -0.8, coolStart_K: -0.5, coolStop_K: -0.8 }
    const plan = smallPlan([stage({ name: 'Primary', control: both })], { limits })
    const engine = new Conversation(compile(plan, smallVessel(), smallBeer()))
    engine.start({ 'Probe.beer': 18 })
    expect(engine.state).toMatchObject({
      controller: { wantHeat: true, wantCool: true },
      heater: { on: true },
    })
  })
})

describe('a limit that is broken', () => {
  it('is said with its value, holds the batch, and the brewer is asked; kept again, they are asked anew', () => {
    const engine = talk(18, 'hold')
    engine.start({ 'Probe.beer': 18 })
    expect(engine.tell(10, { 'Probe.beer': 20 }).events).not.toContainEqual(
      expect.objectContaining({ kind: 'limit broken' }),
    )
    const { events } = engine.tell(10, { 'Probe.beer': 20.1 })
    const at_s = engine.now_s
    expect(events.slice(0, 3)).toEqual([
      { kind: 'limit broken', at_s, limit: 'highest', limit_C: 20, beer_C: 20.1 },
      {
        kind: 'batch',
        at_s,
        from: 'running',
        to: 'held',
        why: "the beer is beyond the plan's highest limit",
        by: null,
      },
      {
        kind: 'asked',
        at_s,
        question: { id: 1, about: 'limit', stage: 'Primary', text: '', subject: 'highest' },
      },
    ])
    engine.tell(10, { 'Probe.beer': 20.1 }, [], 'not yet')
    engine.keepTelling(HOUR_S, 10, { 'Probe.beer': 19.81 })
    expect(engine.state).toMatchObject({ limitBroken: 'highest', questions: [] })
    const kept = engine.tell(10, { 'Probe.beer': 19.8 })
    expect(kept.events.find(({ kind }) => kind === 'limit kept')).toEqual({
      kind: 'limit kept',
      at_s: engine.now_s,
      limit: 'highest',
      limit_C: 20,
      beer_C: 19.8,
    })
    expect(engine.state.questions).toMatchObject([{ about: 'limit', subject: 'highest' }])
    engine.tell(10, { 'Probe.beer': 19.8 }, [], 'yes')
    expect(engine.state.batch).toBe('running')
  })

  it('is not asked about again while the batch goes on at the brewer’s word, nor when it is kept then', () => {
    const engine = talk(18, 'hold')
    engine.start({ 'Probe.beer': 18 })
    engine.tell(10, { 'Probe.beer': 20.1 })
    engine.tell(10, { 'Probe.beer': 20.1 }, [], 'yes')
    engine.keepTelling(60, 10, { 'Probe.beer': 20.1 })
    expect(engine.state).toMatchObject({ batch: 'running', limitBroken: 'highest', questions: [] })
    engine.keepTelling(60, 10, { 'Probe.beer': 19 })
    expect(engine.state).toMatchObject({ batch: 'running', limitBroken: null, questions: [] })
  })

  it('that is kept again brings no other question back that was declined', () => {
    const engine = talk(18, 'hold', { until: stageLasted(10), askFirst: true })
    engine.start({ 'Probe.beer': 18 })
    engine.tell(20, { 'Probe.beer': 18 }, [])
    engine.tell(10, { 'Probe.beer': 18 }, [], 'not yet')
    engine.tell(10, { 'Probe.beer': 20.1 })
    engine.tell(10, { 'Probe.beer': 20.1 }, [], 'not yet')
    engine.tell(10, { 'Probe.beer': 19.5 })
    expect(engine.state.questions).toMatchObject([{ about: 'limit' }])
    engine.tell(10, { 'Probe.beer': 19.5 }, [], 'yes')
    engine.keepTelling(60, 10, { 'Probe.beer': 19.5 })
    expect(engine.state).toMatchObject({ batch: 'running', questions: [] })
  })

  it('at the lower end too, with its own words', () => {
    const engine = talk(18, 'hold')
    engine.start({ 'Probe.beer': 16 })
    expect(engine.state.limitBroken).toBe(null)
    const { events } = engine.tell(10, { 'Probe.beer': 15.9 })
    expect(events).toContainEqual({
      kind: 'limit broken',
      at_s: engine.now_s,
      limit: 'lowest',
      limit_C: 16,
      beer_C: 15.9,
    })
    expect(events).toContainEqual(
      expect.objectContaining({ kind: 'batch', why: "the beer is beyond the plan's lowest limit" }),
    )
    engine.tell(10, { 'Probe.beer': 16.19 })
    expect(engine.state.limitBroken).toBe('lowest')
    const kept = engine.tell(10, { 'Probe.beer': 16.2 })
    expect(kept.events).toContainEqual(
      expect.objectContaining({ kind: 'limit kept', limit: 'lowest', limit_C: 16, beer_C: 16.2 }),
    )
    expect(engine.state.limitBroken).toBe(null)
  })

  it('of which the plan only wants an alarm holds nothing and asks nothing', () => {
    const engine = talk(18, 'alarm')
    engine.start({ 'Probe.beer': 20.5 })
    engine.keepTelling(60, 10, { 'Probe.beer': 20.5 })
    engine.keepTelling(60, 10, { 'Probe.beer': 19 })
    expect(engine.kinds()).toContain('limit kept')
    expect(engine.state).toMatchObject({ batch: 'running', questions: [] })
    engine.tell(10, { 'Probe.beer': 19 }, [{ kind: 'hold' }])
    engine.keepTelling(60, 10, { 'Probe.beer': 20.5 })
    engine.keepTelling(60, 10, { 'Probe.beer': 19 })
    expect(engine.state).toMatchObject({ batch: 'held', questions: [] })
  })

  it('with "switch off" is the reason why each appliance is off, by its name', () => {
    const warm = talk(18, 'switch off')
    warm.start({ 'Probe.beer': 20.5 })
    expect(warm.events).toContainEqual(
      expect.objectContaining({ kind: 'withheld', appliance: 'cooler', why: 'highest limit' }),
    )
    const cold = talk(18, 'switch off')
    cold.start({ 'Probe.beer': 15.5 })
    expect(cold.events).toContainEqual(
      expect.objectContaining({ kind: 'withheld', appliance: 'heater', why: 'lowest limit' }),
    )
  })

  it('says nothing before the batch has begun, nor after it was stopped', () => {
    const engine = talk(18, 'hold')
    engine.tell(0, { 'Probe.beer': 21 })
    engine.tell(10, { 'Probe.beer': 19 })
    engine.start()
    engine.tell(10, {}, [{ kind: 'stop' }])
    engine.keepTelling(60, 10, { 'Probe.beer': 22 })
    expect(engine.kinds()).not.toContain('limit broken')
    expect(engine.state.batch).toBe('stopped')
  })

  it('stays open while the beer is unknown, and holds nothing again in a plan that is over', () => {
    const engine = talk(18, 'hold', { until: stageLasted(10) })
    engine.start({ 'Probe.beer': 18 })
    engine.tell(20, { 'Probe.beer': 18 })
    expect(engine.state.batch).toBe('complete')
    engine.tell(10, { 'Probe.beer': 20.5 })
    expect(engine.state).toMatchObject({ batch: 'complete', limitBroken: 'highest', questions: [] })
    engine.tell(120)
    expect(engine.state.limitBroken).toBe('highest')
  })
})
