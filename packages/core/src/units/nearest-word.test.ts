import { expect, test } from 'vitest'
import { nearestWord } from './nearest-word.ts'

const KEYS = ['stage', 'hold', 'until', 'at most', 'if late', 'if unknown']

test.each([
  ['stgae', 'stage'],
  ['Stage', 'stage'],
  ['untill', 'until'],
  ['at mots', 'at most'],
  ['if unkown', 'if unknown'],
  ['holds', 'hold'],
])('%s is probably %s', (word, meant) => {
  expect(nearestWord(word, KEYS)).toBe(meant)
})

test.each(['', 'temperature', 'x', 'a'.repeat(1000)])('nothing is near “%s”', word => {
  expect(nearestWord(word, KEYS)).toBeNull()
})

test('a letter for another letter is a guess, not a correction', () => {
  expect(nearestWord('x', ['h', 'd'])).toBeNull()
})
