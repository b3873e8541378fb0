import { expect, test } from 'vitest'
import { readPlan } from '../plan/read-plan.ts'
import { misindented } from './misindented.ts'

const plan = (second: string) =>
  `plan: Two stages\nstages:\n  - stage: Primary\n    hold: 18 °C\n    at most: 7 d\n\n${second}\n`

// It was answered by "a colon or a comma is missing", at the empty line before.
test.each([
  ['a stage one space too deep', '   - stage: Rest\n     hold: 20 °C', 7, 3, 2],
  ['a stage one space too shallow', ' - stage: Rest\n   hold: 20 °C', 7, 1, 2],
  ['a key one space too deep', '  - stage: Rest\n     hold: 20 °C', 8, 5, 4],
  ['a key one space too shallow', '  - stage: Rest\n   hold: 20 °C', 8, 3, 4],
])('%s is told by its line, how it is indented, and what would be right', (_, second, line, has, wants) => {
  const { findings } = readPlan(plan(second), 'plan')
  expect(findings[0]).toMatchObject({ code: 'yaml-syntax', line })
  expect(findings[0]!.message).toContain(`indented by ${has} space${has === 1 ? '' : 's'}`)
  expect(findings[0]!.cure).toContain(`Indent it by ${wants} spaces`)
})

test('a text whose lines stand right is not accused', () => {
  expect(
    misindented(plan('  - stage: Rest\n    hold: 20 °C\n    until:\n      gravity: { at most: 1.012 }')),
  ).toBeNull()
  expect(misindented('a: 1\nb:\n- x: 1\n  y: 2\n- x: 3\n')).toBeNull()
})
