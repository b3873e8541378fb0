import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../../../../test/judge-all.ts'
import type { Condition } from '../../plan/plan.ts'
import { USUAL_UNITS } from '../../units/display.ts'
import { sayIn } from '../say.ts'
import { leastTime_s } from './least-time.ts'
import { type Circumstances, neverTogether } from './never.ts'

const base = { lasting_s: 0, place: { line: 1, column: 1, offset: 0, length: 1 } }

/** Conditions on two quantities with values from 0 to 4, and on the time in the stage. */
const atom = fc.oneof(
  fc
    .tuple(
      fc.constantFrom('pressure', 'pH'),
      fc.constantFrom('at least' as const, 'at most' as const),
      fc.nat(4),
    )
    .map(
      ([quantity, relation, value]): Condition => ({
        ...base,
        kind: 'compare',
        quantity,
        relation,
        against: { kind: 'value', value },
      }),
    ),
  fc.nat(4).map((atLeast_s): Condition => ({ ...base, kind: 'elapsed', since: 'stage', atLeast_s })),
)

const { condition } = fc.letrec<{ condition: Condition }>(tie => ({
  condition: fc.oneof(
    { depthSize: 'small', withCrossShrink: true },
    atom,
    fc
      .tuple(
        fc.constantFrom('all' as const, 'any' as const),
        fc.array(tie('condition'), { minLength: 1, maxLength: 4 }),
      )
      .map(([kind, of]): Condition => ({ ...base, kind, of })),
    tie('condition').map((of): Condition => ({ ...base, kind: 'not', of })),
  ),
}))

interface Moment {
  readonly time_s: number
  readonly pressure: number
  readonly pH: number
}

function holds(one: Condition, moment: Moment): boolean {
  switch (one.kind) {
    case 'all':
      return one.of.every(part => holds(part, moment))
    case 'any':
      return one.of.some(part => holds(part, moment))
    case 'not':
      return !holds(one.of, moment)
    case 'elapsed':
      return moment.time_s >= one.atLeast_s
    case 'compare': {
      const value = one.quantity === 'pH' ? moment.pH : moment.pressure
      const mark = one.against.kind === 'value' ? one.against.value : Number.NaN
      return one.relation === 'at least' ? value >= mark : value <= mark
    }
    default:
      throw new Error(one.kind)
  }
}

/** Half steps, because what is not at least 2 may still be 1.5. */
const HALVES = [-0.5, 0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5]
const MOMENTS: readonly Moment[] = HALVES.filter(time_s => time_s >= 0).flatMap(time_s =>
  HALVES.flatMap(pressure => HALVES.map(pH => ({ time_s, pressure, pH }))),
)

const around: Circumstances = {
  say: sayIn(USUAL_UNITS),
  taskCanBeDone: () => true,
  hasTarget: true,
  kept_C: null,
}

test('what is said never to be true is true at no moment', ({ task }) => {
  judge(
    task,
    { cases: 500, least: 20 },
    [fc.array(condition, { minLength: 1, maxLength: 3 })],
    conditions => {
      if (neverTogether(conditions, around) === null) return false
      expect(MOMENTS.some(moment => conditions.every(one => holds(one, moment)))).toBe(false)
      return true
    },
  )
})

test('of plain lists without alternatives every contradiction is found', ({ task }) => {
  judge(task, { cases: 300 }, [fc.array(atom, { minLength: 1, maxLength: 6 })], of => {
    const isPossible = MOMENTS.some(moment => of.every(one => holds(one, moment)))
    expect(neverTogether([{ ...base, kind: 'all', of }], around) === null).toBe(isPossible)
  })
})

test('a condition is never true before its least time', ({ task }) => {
  judge(task, { cases: 500 }, [condition], one => {
    const least_s = leastTime_s(one)
    const before = MOMENTS.filter(moment => moment.time_s < least_s)
    expect(before.some(moment => holds(one, moment))).toBe(false)
    return before.length
  })
})

test('conditions nested deeply and widely are judged in one walk', () => {
  let deep: Condition = { ...base, kind: 'elapsed', since: 'stage', atLeast_s: 1 }
  for (let depth = 0; depth < 200; depth++)
    deep = {
      ...base,
      kind: depth % 2 ? 'all' : 'any',
      of: [
        deep,
        {
          ...base,
          kind: 'not',
          of: deep.kind === 'elapsed' ? deep : { ...base, kind: 'done', task: `${depth}` },
        },
      ],
    }
  expect(neverTogether([deep], around)).toBeNull()
})
