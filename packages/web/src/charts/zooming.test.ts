import { expect, test } from 'vitest'
import { moved, within, zoomed } from './zooming.ts'

const limits = { low: 0, high: 100, shortest: 1 }

test('a zoom keeps the place under the pointer, and ends at its limits', () => {
  expect(zoomed({ low: 20, high: 60 }, 30, 0.5, limits)).toEqual({ low: 25, high: 45 })
  expect(zoomed({ low: 20, high: 60 }, 30, 100, limits)).toEqual({ low: 0, high: 100 })
  const closest = zoomed({ low: 20, high: 22 }, 21, 0.001, limits)
  expect(closest.high - closest.low).toBeCloseTo(1)
})

test('a move stops at the ends', () => {
  expect(moved({ low: 20, high: 60 }, 10, limits)).toEqual({ low: 30, high: 70 })
  expect(moved({ low: 20, high: 60 }, 90, limits)).toEqual({ low: 60, high: 100 })
  expect(within({ low: -50, high: 200 }, limits)).toEqual({ low: 0, high: 100 })
})
