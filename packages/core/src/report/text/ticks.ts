/**
 * Round numbers for an axis: multiples of 1, 2 or 5 times a power of ten that lie within the range, about `wanted` of
 * them. Steps may be given instead, for units that are not counted in tens (hours, days).
 */
export function niceTicks(
  lowest: number,
  highest: number,
  wanted: number,
  steps?: readonly number[],
): readonly number[] {
  const span = highest - lowest
  if (!(span > 0) || !Number.isFinite(span)) return [lowest]
  const least = span / Math.max(1, wanted)
  const step = steps?.find(each => each >= least) ?? tenStep(least)
  const first = Math.ceil(lowest / step - 1e-9)
  const last = Math.floor(highest / step + 1e-9)
  return Array.from({ length: last - first + 1 }, (_, index) => (first + index) * step)
}

function tenStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least))
  return power * ([1, 2, 5].find(each => each * power >= least * (1 - 1e-9)) ?? 10)
}

/** Digits after the point that tell the ticks apart. */
export function digitsFor(ticks: readonly number[]): number {
  const step = ticks.length > 1 ? ticks[1]! - ticks[0]! : 1
  return Math.min(6, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)))
}
