/** From where to where an axis runs. */
export interface Span {
  readonly low: number
  readonly high: number
}

/** As a share of what is drawn. */
const MARGIN = 0.04
/** An axis gives way to a picture that fills less of it than this. */
const LEAST_FILLED = 0.75

/** What all values have room in; null: there are none. */
export function spanOf(columns: readonly (readonly (number | null)[])[]): Span | null {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const column of columns) {
    for (const value of column) {
      if (value === null) continue
      if (value < low) low = value
      if (value > high) high = value
    }
  }
  return low > high ? null : { low, high }
}

/**
 * The span of an axis while its picture is being refined. It never jumps to and fro: what does not fit any more gets more
 * room at once, and room that is not needed is given up only when the picture is settled.
 */
export function steadySpan(shown: Span | null, wanted: Span, settled: boolean): Span {
  const width = wanted.high - wanted.low || Math.abs(wanted.high) * 0.01 || 1
  const roomy = { low: wanted.low - MARGIN * width, high: wanted.high + MARGIN * width }
  if (shown === null) return roomy
  const isLoose = wanted.high - wanted.low < LEAST_FILLED * (shown.high - shown.low)
  if (settled && isLoose) return roomy
  const low = wanted.low < shown.low ? roomy.low : shown.low
  const high = wanted.high > shown.high ? roomy.high : shown.high
  return low === shown.low && high === shown.high ? shown : { low, high }
}
