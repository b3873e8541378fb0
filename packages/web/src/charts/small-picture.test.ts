import { expect, test } from 'vitest'
import { HEIGHT, smallPicture, WIDTH } from './small-picture.ts'

const HOUR_ms = 3_600_000
const SPAN = { from_ms: 0, now_ms: 60 * HOUR_ms, to_ms: 100 * HOUR_ms }
const bucket = (hour: number, mean: number) => ({
  from_ms: hour * HOUR_ms,
  count: 1,
  min: mean,
  max: mean,
  mean,
})

test('time runs from left to right, warmth upwards, and nothing leaves the frame', () => {
  const ahead = [60, 80, 100, 120].map(hour => ({
    at_ms: hour * HOUR_ms,
    low_C: 10,
    middle_C: 12,
    high_C: 24,
  }))
  const { measured, expected, band, now, low_C, high_C } = smallPicture(
    [bucket(57, 18), bucket(58, 20)],
    ahead,
    SPAN,
  )
  const [[x1, y1], [x2, y2]] = numbersOf(measured) as [[number, number], [number, number]]
  expect(x2).toBeGreaterThan(x1)
  expect(y2).toBeLessThan(y1)
  expect(now).toBeCloseTo(0.6 * WIDTH, 6)
  // What lies beyond the picture's end is not drawn.
  expect(numbersOf(expected)).toHaveLength(3)
  for (const [x, y] of [...numbersOf(measured), ...numbersOf(expected), ...numbersOf(band)]) {
    expect(x).toBeGreaterThanOrEqual(0)
    expect(x).toBeLessThanOrEqual(WIDTH)
    expect(y).toBeGreaterThanOrEqual(0)
    expect(y).toBeLessThanOrEqual(HEIGHT)
  }
  expect(low_C).toBeLessThan(10)
  expect(high_C).toBeGreaterThan(24)
})

test('a silence breaks the line; a steady beer lies in the middle of at least four degrees', () => {
  const { measured, low_C, high_C } = smallPicture([bucket(1, 19), bucket(2, 19), bucket(30, 19)], [], SPAN)
  expect(measured.match(/M/g)).toHaveLength(2)
  expect(high_C - low_C).toBeGreaterThanOrEqual(4)
  expect((high_C + low_C) / 2).toBe(19)
})

test('without any reading there is nothing to draw', () => {
  expect(smallPicture([], [], SPAN)).toMatchObject({ measured: '', expected: '', band: '' })
})

function numbersOf(path: string): [number, number][] {
  return [...path.matchAll(/[ML]([-\d.]+) ([-\d.]+)/g)].map(match => [Number(match[1]), Number(match[2])])
}
