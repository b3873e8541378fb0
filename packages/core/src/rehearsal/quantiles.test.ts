import { describe, expect, it } from 'vitest'
import { quantile, quantilesOf } from './quantiles.ts'

describe('quantiles', () => {
  it('agree with the usual definition (type 7 of Hyndman and Fan 1996: R and NumPy by default)', () => {
    // numpy.percentile([1, 2, 4, 8, 16], [5, 25, 50, 75, 95]) = 1.2, 2, 4, 8, 14.4 (by the formula, by hand).
    const found = quantilesOf([16, 1, 8, 2, 4])
    expect(found.p5).toBeCloseTo(1.2, 12)
    expect(found).toMatchObject({ p25: 2, p50: 4, p75: 8 })
    expect(found.p95).toBeCloseTo(14.4, 12)
  })

  it('are null where runs never got there, and for no values at all', () => {
    expect(quantilesOf([1, 2, 3, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY])).toMatchObject({
      p50: 3,
      p75: null,
      p95: null,
    })
    expect(quantile([], 0.5)).toBeNull()
  })
})
