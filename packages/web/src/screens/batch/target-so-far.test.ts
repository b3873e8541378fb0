import { readPlan } from '@attemper/core/plan/read-plan.ts'
import type { Entry } from '@attemper/server/http/published.ts'
import { expect, test } from 'vitest'
import { targetSoFar } from './target-so-far.ts'

const { plan } = readPlan(
  `plan: Test
stages:
  - { stage: Primary, hold: 18 °C, until: { stage lasted: 3 d } }
  - { stage: Rest, ramp: { to: 21 °C, over: 3 d }, until: { stage lasted: 4 d } }
  - { stage: Crash, ramp: { to: 2 °C, at: 1 °C/h }, until: { stage lasted: 4 d } }
`,
  'plan',
)
const DAY_ms = 86_400_000
const begins = (number: number, days: number, stage: string): Entry => ({
  number,
  at_ms: days * DAY_ms,
  kind: 'decision',
  event: { kind: 'stage', at_s: (days * DAY_ms) / 1000, stage, from: null, why: 'condition' },
})
const entries = [begins(1, 0, 'Primary'), begins(2, 2, 'Rest'), begins(3, 6, 'Crash')]

test('the target bends where a ramp ends, and follows the beginnings of the stages', () => {
  const corners = targetSoFar(plan!, entries, { at_ms: 6.5 * DAY_ms, target_C: 9.05 }, 18)
  expect(corners.map(({ at_ms, target_C }) => [at_ms / DAY_ms, target_C])).toEqual([
    [0, 18],
    [0, 18],
    [2, 18],
    [2, 18],
    [5, 21],
    [6, 21],
    [6, 21],
    [6.5, 9.05],
  ])
})

test('a ramp that has not come to its end has no corner yet', () => {
  const corners = targetSoFar(plan!, entries.slice(0, 2), { at_ms: 3.5 * DAY_ms, target_C: 19.5 }, 18)
  expect(corners.at(-2)!.target_C).toBe(18)
  expect(corners.at(-1)).toEqual({ at_ms: 3.5 * DAY_ms, target_C: 19.5 })
  expect(targetSoFar(plan!, [], { at_ms: 1, target_C: 18 }, 18)).toEqual([])
  const ended = targetSoFar(plan!, entries.slice(0, 1), { at_ms: DAY_ms }, 18)
  expect(ended.at(-1)).toEqual({ at_ms: DAY_ms, target_C: 18 })
})
