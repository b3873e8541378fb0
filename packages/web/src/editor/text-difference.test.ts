import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { textDifference } from './text-difference.ts'

test('only what differs is exchanged', () => {
  expect(textDifference('hold: 18 °C\n', 'hold: 19 °C\n')).toEqual({ from: 7, to: 8, insert: '9' })
  expect(textDifference('aa', 'aaa')).toEqual({ from: 2, to: 2, insert: 'a' })
  expect(textDifference('abc', '')).toEqual({ from: 0, to: 3, insert: '' })
  expect(textDifference('same', 'same')).toBeNull()
})

test('exchanging it gives the other text', ({ task }) => {
  const text = fc.string({ unit: fc.constantFrom('a', 'b', '\n') })
  judge(task, {}, [text, text], (before, after) => {
    const { from, to, insert } = textDifference(before, after) ?? { from: 0, to: 0, insert: '' }
    expect(before.slice(0, from) + insert + before.slice(to)).toBe(after)
  })
})
