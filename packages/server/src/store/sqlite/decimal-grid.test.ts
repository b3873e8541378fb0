import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../../../../test/judge-all.ts'
import { decimalPlaces, NO_GRID, toGrid } from './decimal-grid.ts'

test('finds the fewest places that lose nothing', () => {
  expect(decimalPlaces([])).toBe(0)
  expect(decimalPlaces([18, -3, 101_325])).toBe(0)
  expect(decimalPlaces([18.5, 18.06])).toBe(2)
  expect(decimalPlaces([1.0482])).toBe(4)
  expect(decimalPlaces([0.1 + 0.2])).toBe(NO_GRID)
  expect(decimalPlaces([68.1 - 32])).toBe(NO_GRID)
  expect(decimalPlaces([Number.NaN])).toBe(NO_GRID)
  expect(decimalPlaces([Number.POSITIVE_INFINITY])).toBe(NO_GRID)
  expect(decimalPlaces([2 ** 52])).toBe(NO_GRID)
  expect(decimalPlaces([2 ** 50, 0.5])).toBe(NO_GRID)
})

test('whatever a text with up to nine places says lies on that grid', ({ task }) => {
  judge(
    task,
    { cases: 300 },
    [fc.integer({ min: -(10 ** 9), max: 10 ** 9 }), fc.integer({ min: 0, max: 9 })],
    (steps, places) => {
      const value = Number(`${steps}e-${places}`)
      const found = decimalPlaces([value])
      expect(found).toBeLessThanOrEqual(places)
      expect(toGrid(value, found) / 10 ** found).toBe(value + 0)
    },
  )
})
