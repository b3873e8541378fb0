import { describe, expect, test } from 'vitest'
import { spanOf, steadySpan } from './span.ts'

describe('the span of an axis', () => {
  test('holds all columns, and what is missing does not count', () => {
    expect(
      spanOf([
        [3, null, 5],
        [null, -1],
      ]),
    ).toEqual({ low: -1, high: 5 })
    expect(spanOf([[null], []])).toBe(null)
  })

  test('has a little room at first', () => {
    expect(steadySpan(null, { low: 0, high: 100 }, false)).toEqual({ low: -4, high: 104 })
  })

  test('a line that does not move has room too', () => {
    const { low, high } = steadySpan(null, { low: 18, high: 18 }, false)
    expect(low).toBeLessThan(18)
    expect(high).toBeGreaterThan(18)
  })

  test('stays as it is while the picture moves within it', () => {
    const shown = { low: 0, high: 100 }
    expect(steadySpan(shown, { low: 3, high: 90 }, false)).toBe(shown)
    expect(steadySpan(shown, { low: 3, high: 90 }, true)).toBe(shown)
  })

  test('grows at once, on the side where it must', () => {
    expect(steadySpan({ low: 0, high: 100 }, { low: 10, high: 110 }, false)).toEqual({ low: 0, high: 114 })
  })

  test('shrinks when the picture is settled, and not before', () => {
    const shown = { low: 0, high: 100 }
    const small = { low: 0, high: 50 }
    expect(steadySpan(shown, small, false)).toBe(shown)
    expect(steadySpan(shown, small, true)).toEqual({ low: -2, high: 52 })
  })
})
