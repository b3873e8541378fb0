/** The straight line through the readings of a window. */
export interface Trend {
  readonly slope_per_s: number
}

/**
 * Least-squares slope of the readings of the last `window_s`, which ends at the latest reading (so that the answer can
 * only change when a reading arrives). The reading at or just before the window's beginning belongs to it.
 *
 * A line, and not the difference between the highest and the lowest reading: with a noisy float the latter grows with the
 * number of readings, and a beer that has finished would never count as steady.
 *
 * @returns null when the readings do not span the window
 */
export function trendOf(history: readonly (readonly [number, number])[], window_s: number): Trend | null {
  const last = history.length - 1
  if (last < 1) return null
  const end_s = history[last]![0]
  let first = last
  while (first > 0 && history[first]![0] > end_s - window_s) first--
  if (history[first]![0] > end_s - window_s) return null
  const count = last - first + 1
  let meanTime = 0
  let meanValue = 0
  for (let i = first; i <= last; i++) {
    meanTime += history[i]![0] - end_s
    meanValue += history[i]![1]
  }
  meanTime /= count
  meanValue /= count
  let products = 0
  let squares = 0
  for (let i = first; i <= last; i++) {
    const time = history[i]![0] - end_s - meanTime
    products += time * (history[i]![1] - meanValue)
    squares += time * time
  }
  return { slope_per_s: products / squares }
}
