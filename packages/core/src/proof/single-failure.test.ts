import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { readBeer } from '../beer/read-beer.ts'
import { and, FALSE, not, or, TRUE, type Truth, UNKNOWN } from '../engine/kleene.ts'
import type { Condition, Plan } from '../plan/plan.ts'
import { readPlan } from '../plan/read-plan.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { outlook } from './conditions/certainty.ts'
import { singleFailureProof } from './single-failure.ts'
import { BEER, change, PLAN, VESSEL } from './testing/cases.ts'

const HOUR_S = 3600
const DAY_S = 86_400
const vessel = readVessel(VESSEL, 'vessel').vessel!
const beer = readBeer(BEER, 'beer').beer!

function proof(planText: string) {
  const rows = singleFailureProof(readPlan(planText, 'plan').plan!, vessel, beer)
  return (stage: string, instrument: string) => {
    const row = rows.find(one => one.stage === stage && one.instrument === instrument)!
    const { outcome, within_s, via, bounded } = row
    return { outcome, within_s, via, bounded }
  }
}

test('one row for every stage and every instrument', () => {
  const rows = singleFailureProof(readPlan(PLAN, 'plan').plan!, vessel)
  expect(rows.map(({ stage, instrument }) => `${stage}/${instrument}`)).toEqual([
    'Primary/Probe',
    'Primary/Float',
    'Warm finish/Probe',
    'Warm finish/Float',
    'Crash/Probe',
    'Crash/Float',
  ])
})

describe('what happens first, and when', () => {
  const of = proof(PLAN)
  test('a lost float: unknown after its silence, asked after the wait', () => {
    expect(of('Primary', 'Float')).toEqual({
      outcome: 'asks',
      within_s: 2 * HOUR_S + 12 * HOUR_S,
      via: 'unknown response',
      bounded: true,
    })
  })
  test('a lost float where only the longest time asks', () => {
    expect(of('Warm finish', 'Float')).toEqual({
      outcome: 'asks',
      within_s: 14 * DAY_S,
      via: 'longest time',
      bounded: true,
    })
  })
  test('a condition that does not rest on the lost instrument still comes; the longest time says how late', () => {
    expect(of('Primary', 'Probe')).toEqual({
      outcome: 'ends',
      within_s: 10 * DAY_S,
      via: 'condition',
      bounded: true,
    })
  })

  test('what is unknown only after a time is asked for after that time', () => {
    const late = proof(
      change(PLAN, [
        'until: { gravity: { above final: 8 points } }',
        'until: { all: [ { gravity: { above final: 8 points } }, { stage lasted: 3 d } ] }',
      ]),
    )
    expect(late('Primary', 'Float').within_s).toBe(3 * DAY_S + 12 * HOUR_S + 2 * HOUR_S)
  })

  test('a fallback condition by time, after the wait', () => {
    const fallback = proof(
      change(PLAN, [
        'if unknown: { wait: 12 h, then: ask }',
        'if unknown: { wait: 12 h, use: { stage lasted: 6 d } }',
      ]),
    )
    expect(fallback('Primary', 'Float')).toEqual({
      outcome: 'ends',
      within_s: 6 * DAY_S,
      via: 'unknown response',
      bounded: true,
    })
  })

  test('the only thermometer in the beer: everything off, and an alarm', () => {
    const open = proof(
      change(PLAN, ['at most: 4.5 °C } }\n    at most: 6 d\n    if late: ask', 'at most: 4.5 °C } }']),
    )
    expect(open('Crash', 'Probe')).toEqual({
      outcome: 'alarms',
      within_s: 60,
      via: 'beer temperature lost',
      bounded: true,
    })
    expect(open('Crash', 'Float')).toEqual({
      outcome: 'ends',
      within_s: null,
      via: 'condition',
      bounded: false,
    })
  })

  test('nothing at all', () => {
    const careless = proof(
      change(PLAN, ['    at most: 10 d\n    if late: ask\n    if unknown: { wait: 12 h, then: ask }\n', '']),
    )
    expect(careless('Primary', 'Float')).toEqual({
      outcome: 'waits for ever',
      within_s: null,
      via: 'nothing',
      bounded: false,
    })
  })

  test('an unknown that a window of the day interrupts every day is no proof of being asked', () => {
    const daily = proof(
      change(PLAN, [
        'until: { gravity: { above final: 8 points } }\n    at most: 10 d\n    if late: ask',
        'until: { all: [ { gravity: { above final: 8 points } }, { time of day: { from: "08:00", to: "18:00" } } ] }',
      ]),
    )
    expect(daily('Primary', 'Float').outcome).toBe('waits for ever')
  })
})

/**
 * The proof against the definition: whatever the beer does, once every time has passed the condition has the value that
 * the outlook promises. Evaluated by brute force over all values of what is measured.
 */
test('the outlook never promises more than every course of the beer keeps', ({ task }) => {
  const place: Plan['place'] = { line: 1, column: 1, offset: 0, length: 1 }
  const base = { lasting_s: 0, place }
  const measured = ['a', 'b', 'lost'] as const
  const atom = fc.oneof(
    fc.constantFrom(...measured).map(
      (quantity): Condition => ({
        ...base,
        kind: 'compare',
        quantity,
        relation: 'at least',
        against: { kind: 'value', value: 1 },
      }),
    ),
    fc
      .integer({ min: 1, max: 9 })
      .map((atLeast_s): Condition => ({ ...base, kind: 'elapsed', since: 'stage', atLeast_s })),
  )
  const { condition } = fc.letrec<{ condition: Condition }>(tie => ({
    condition: fc.oneof(
      { depthSize: 'small', withCrossShrink: true },
      atom,
      fc
        .tuple(
          fc.constantFrom('all' as const, 'any' as const),
          fc.array(tie('condition'), { minLength: 1, maxLength: 3 }),
        )
        .map(([kind, of]): Condition => ({ ...base, kind, of })),
      tie('condition').map((of): Condition => ({ ...base, kind: 'not', of })),
    ),
  }))

  const evaluate = (one: Condition, time_s: number, a: Truth, b: Truth, lost: Truth = UNKNOWN): Truth => {
    switch (one.kind) {
      case 'all':
        return one.of.map(part => evaluate(part, time_s, a, b, lost)).reduce(and, TRUE as Truth)
      case 'any':
        return one.of.map(part => evaluate(part, time_s, a, b, lost)).reduce(or, FALSE as Truth)
      case 'not':
        return not(evaluate(one.of, time_s, a, b, lost))
      case 'elapsed':
        return time_s >= one.atLeast_s ? TRUE : FALSE
      case 'compare':
        return one.quantity === 'lost' ? lost : one.quantity === 'a' ? a : b
      default:
        throw new Error(one.kind)
    }
  }
  const LATE_S = 1000
  const courses = [FALSE, TRUE].flatMap(a => [FALSE, TRUE].map(b => [a, b] as const))

  judge(task, { cases: 1000 }, [condition], one => {
    const { truth, within_s, notFalse_s } = outlook(one, {
      isKnown: quantity => quantity !== 'lost',
      taskOutlook: () => ({ truth: TRUE, within_s: 0, notFalse_s: 0 }),
      hasTarget: true,
      start_local_s: null,
    })
    let judged = 0
    for (const time_s of [...Array(12).keys()]) {
      for (const [a, b] of courses) {
        const value = evaluate(one, time_s, a, b)
        if (within_s !== null && time_s >= within_s) expect(value).toBe(TRUE)
        else if (notFalse_s !== null && time_s >= notFalse_s) expect(value).not.toBe(FALSE)
        else continue
        judged++
      }
    }
    // True in the beer's own time: whenever it would be true with the instrument, it is so without.
    for (const [a, b] of courses)
      for (const lost of [FALSE, TRUE])
        if (truth === TRUE && evaluate(one, LATE_S, a, b, lost) === TRUE) {
          expect(evaluate(one, LATE_S, a, b)).toBe(TRUE)
          judged++
        }
    return judged
  })
})
