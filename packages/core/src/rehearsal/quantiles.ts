import type { Quantiles } from './result.ts'

/**
 * Quantile of sorted values by linear interpolation between order statistics (Hyndman and Fan 1996, type 7, the usual
 * definition of statistics packages). Infinite values stand for "never" and give null.
 */
export function quantile(sorted: ArrayLike<number>, share: number): number | null {
  const { length } = sorted
  if (length === 0) return null
  const place = share * (length - 1)
  const below = Math.floor(place)
  const value = sorted[below]!
  const next = sorted[Math.min(below + 1, length - 1)]!
  const weight = place - below
  const mixed = weight === 0 ? value : value + weight * (next - value)
  return Number.isFinite(mixed) ? mixed : null
}

/** Median and the ends of the 50 % and 90 % intervals. The values may be in any order; they are not changed. */
export function quantilesOf(values: readonly number[] | Float64Array): Quantiles {
  const sorted = Float64Array.from(values).sort()
  return {
    p5: quantile(sorted, 0.05),
    p25: quantile(sorted, 0.25),
    p50: quantile(sorted, 0.5),
    p75: quantile(sorted, 0.75),
    p95: quantile(sorted, 0.95),
  }
}
