import { expect, test } from 'vitest'
import { plainWords } from './plain-words.ts'

test('words of the language stand in quotation marks', () => {
  expect(plainWords('The stage to go to, or `finish`; see `if late`.')).toBe(
    'The stage to go to, or “finish”; see “if late”.',
  )
  expect(plainWords('A lone ` stays.')).toBe('A lone ` stays.')
})
