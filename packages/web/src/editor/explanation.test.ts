import { planSchema } from '@attemper/core/plan/schema.ts'
import { expect, test } from 'vitest'
import { explanationAt } from './explanation.ts'

const TEXT = `plan: Ale
stages:
  - stage: Primary
    hold: 18 °C
    until: { gravity: { above final: 10 points } }
    if late: ask
`

function explained(word: string) {
  return explanationAt(TEXT, TEXT.indexOf(word) + 1, planSchema)
}

test('a key is explained from the schema, with how it is written', () => {
  expect(explained('hold')).toEqual({
    from: TEXT.indexOf('hold'),
    to: TEXT.indexOf('hold') + 4,
    key: 'hold',
    meaning: 'Keeps the beer at this temperature.',
    written: ['temperature: 18 °C, 64 °F'],
  })
  expect(explained('above final')).toMatchObject({
    key: 'above final',
    written: ['gravity difference: 10 points, 2.5 °P'],
  })
  expect(explained('if late')?.written).toEqual(['one of: ask, go on, hold', 'keys: go to'])
  expect(explained('gravity')?.meaning).toMatch(/^Compares the gravity/)
  expect(explained('stage:')?.key).toBe('stage')
})

test('at a value, its key is explained', () => {
  expect(explained('10 points')?.key).toBe('above final')
  expect(explained('Primary')?.key).toBe('stage')
})

test('a comment and a word of another language are not', () => {
  expect(explanationAt('# hold: 3', 4, planSchema)).toBeNull()
  expect(explanationAt('nonsense: 3', 4, planSchema)).toBeNull()
})
