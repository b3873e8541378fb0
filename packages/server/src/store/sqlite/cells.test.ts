import { expect, test } from 'vitest'
import { decodeMinutes, encodeMinutes, joinCells, minuteCells } from './cells.ts'

const HOUR = 497_222

function cellsOf(rows: readonly (readonly [at_s: number, value: number, status?: number])[]) {
  return minuteCells(HOUR, {
    at_ms: Float64Array.from(rows, ([at_s]) => HOUR * 3_600_000 + at_s * 1000),
    values: Float64Array.from(rows, ([, value]) => value),
    statuses: Uint8Array.from(rows, ([, , status]) => status ?? 0),
  })
}

function thereAndBack(minutes: ReturnType<typeof cellsOf>) {
  const found: (readonly number[])[] = []
  decodeMinutes(encodeMinutes(minutes), (...cell) => found.push(cell))
  return found
}

test('minutes on a decimal grid come back exactly, in a few bytes each', () => {
  const minutes = cellsOf([
    [0, 18.06],
    [59, 18.07],
    [60, 18.05, 1],
    [61, 85, 2],
    [3599, -0.5],
  ])
  expect(thereAndBack(minutes)).toEqual([
    [0, 2, 18.06, 18.07, 36.13],
    [1, 1, 18.05, 18.05, 18.05],
    [59, 1, -0.5, -0.5, -0.5],
  ])
  // Head 2; minute, count, range and sum 1 each; the least value 2, 1 and 2.
  expect(encodeMinutes(minutes).length).toBe(2 + 3 * 4 + 2 + 1 + 2)
})

test('a value off the grid in the middle of a minute still counts in the mean', () => {
  const minutes = cellsOf([
    [0, 1],
    [1, 4 / 3],
    [2, 2],
  ])
  expect(thereAndBack(minutes)).toEqual([[0, 3, 1, 2, 1 + 4 / 3 + 2]])
})

test('values too large for whole steps are kept as they are', () => {
  const minutes = cellsOf([
    [0, 1e300],
    [1, 2 ** 50],
  ])
  expect(thereAndBack(minutes)).toEqual([[0, 2, 2 ** 50, 1e300, 1e300 + 2 ** 50]])
})

test('an hour without a usable value has no cells', () => {
  const minutes = cellsOf([
    [0, Number.NaN],
    [1, 85, 2],
  ])
  expect(minutes.cells.size).toBe(0)
  expect(joinCells(minutes.cells.values())).toBeNull()
})
