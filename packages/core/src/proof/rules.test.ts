import { readdirSync } from 'node:fs'
import { expect, test } from 'vitest'
import { RULES } from './rules.ts'

/**
 * Each rule has a file of cases in testing/rules: texts that trip it, and near-misses that do not. They run in one test
 * file, because most of their time would go into starting.
 */
const files = readdirSync(new URL('testing/rules/', import.meta.url))
for (const file of files) await import(`./testing/rules/${file.replace('.ts', '')}.ts`)

test('every rule has its cases', () => {
  expect(files.map(file => file.replace('.ts', '')).toSorted()).toEqual(
    RULES.map(({ code }) => code).toSorted(),
  )
})
