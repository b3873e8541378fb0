import { expect, test } from 'vitest'
import { brokenAt, joinColumns } from './join-columns.ts'

test('tables come onto one axis; what one has not, it does not break', () => {
  expect(
    joinColumns([
      { x: [1, 3], columns: [[10, null]] },
      {
        x: [2, 3],
        columns: [
          [20, 30],
          [200, 300],
        ],
      },
    ]),
  ).toEqual({
    x: [1, 2, 3],
    columns: [
      [10, undefined, null],
      [undefined, 20, 30],
      [undefined, 200, 300],
    ],
  })
})

test('a silence breaks the line, a short one does not', () => {
  expect(brokenAt({ x: [0, 1, 5], columns: [[7, 8, 9]] }, () => 2)).toEqual({
    x: [0, 1, 3, 5],
    columns: [[7, 8, null, 9]],
  })
  expect(brokenAt({ x: [0, 1], columns: [[7, 8]] }, () => 2).x).toEqual([0, 1])
})
