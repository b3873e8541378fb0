import type { FromNowResult } from '@attemper/core/rehearsal/from-now-result.ts'
import { expect, test } from 'vitest'
import { aheadOf, pastTable, spanAround, targetTable, valueAt, wholeSpan } from './timeline.ts'

const bucket = (from_s: number, mean: number) => ({
  from_ms: from_s * 1000,
  count: 1,
  min: mean - 1,
  max: mean + 1,
  mean,
})

test('readings on the clock of the vessel, broken at a silence', () => {
  const buckets = [0, 60, 120, 2000].map((at, n) => bucket(at, n))
  const { x, columns } = pastTable(
    buckets,
    3600,
    value => 2 * value,
    () => 30,
  )
  expect(x).toEqual([3600, 3660, 3720, 4660, 5600])
  expect(columns[0]).toEqual([0, 2, 4, null, 6])
  expect(columns[1]).toEqual([-2, 0, 2, null, 4])
})

test('a target that jumps keeps its order, and goes on as the nominal run has it', () => {
  const corners = [
    { at_ms: 0, target_C: 18 },
    { at_ms: 10_000, target_C: 18 },
    { at_ms: 10_000, target_C: 21 },
  ]
  const result = {
    now_s: 5,
    overTime: { time_h: [0, 1], target_C: { nominal: [21, 22] } },
  } as unknown as FromNowResult
  expect(targetTable(corners, result, 0, value => value)).toEqual({
    x: [0, 10, 10.5, 3605],
    columns: [[18, 18, 21, 22]],
  })
})

test('a forecast goes on from what was measured last', () => {
  const column = [1, 2, 3, 4]
  const fan = { p5: column, p25: column, p50: column, p75: column, p95: column, nominal: column }
  const result = { now_s: 1000, overTime: { time_h: [0, 1, 2, 3] } } as unknown as FromNowResult
  expect(aheadOf(result, fan, 0, 500)).toMatchObject({ x: [1000, 4600, 8200, 11_800] })
  const later = aheadOf(result, fan, 0, 5000)!
  expect(later.x).toEqual([4600, 8200, 11_800])
  expect(later.fan.p50).toEqual([2, 3, 4])
  expect(aheadOf(result, fan, 0, 20_000)).toBe(null)
})

test('spans: the whole, and a part of it around now', () => {
  const whole = wholeSpan(0, 1000, 100_000)
  expect(whole).toEqual({ low: -1000, high: 100_000 })
  expect(wholeSpan(0, 100_000, null)).toEqual({ low: -1040, high: 104_000 })
  expect(spanAround(50_000, 3000, whole)).toEqual({ low: 48_000, high: 51_000 })
  expect(spanAround(1000, 30_000, whole)).toEqual({ low: -1000, high: 29_000 })
  expect(spanAround(1000, 1e9, whole)).toBe(whole)
})

test('a column at some hours from now', () => {
  expect(valueAt([0, 0.5, 1], [1, null, 3], 0.9)).toBe(3)
  expect(valueAt([0, 0.5, 1], [1, null, 3], 0.5)).toBe(null)
  expect(valueAt([0, 0.5, 1], [1, null, 3], -1)).toBe(null)
})
