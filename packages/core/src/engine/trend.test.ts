import { describe, expect, it } from 'vitest'
import { trendOf } from './trend.ts'

type History = readonly (readonly [number, number])[]

describe('the trend', () => {
  it('is the slope of the least squares, to the last digit', () => {
    // Over 0, 10, 20 and 40 s: mean 17.5 s; products 17.5·0 …; worked out by hand: 532.5 / 875.
    const history: History = [
      [100, 0],
      [110, 12],
      [120, 6],
      [140, 27],
    ]
    expect(trendOf(history, 40)?.slope_per_s).toBeCloseTo(532.5 / 875, 12)
  })

  it('of two readings is the line through them', () => {
    expect(
      trendOf(
        [
          [0, 5],
          [60, 2],
        ],
        60,
      )?.slope_per_s,
    ).toBeCloseTo(-0.05, 12)
  })

  it('takes the reading at or just before the beginning of its window, and none before', () => {
    const bent: History = [
      [0, 100],
      [10, 0],
      [20, 1],
      [30, 2],
    ]
    // The window begins at 10 s: that reading is its edge.
    expect(trendOf(bent, 20)?.slope_per_s).toBeCloseTo(0.1, 12)
    // It begins at 12 s: the reading at 10 s is the one just before.
    expect(trendOf(bent, 18)?.slope_per_s).toBeCloseTo(0.1, 12)
  })

  it('is unknown when the readings do not span the window', () => {
    expect(trendOf([], 60)).toBe(null)
    expect(trendOf([[0, 5]], 60)).toBe(null)
    expect(trendOf([[0, 5]], 0)).toBe(null)
    expect(
      trendOf(
        [
          [0, 5],
          [59, 2],
        ],
        60,
      ),
    ).toBe(null)
  })
})
