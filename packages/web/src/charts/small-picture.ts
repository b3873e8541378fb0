import type { Bucket } from '@attemper/server/http/published.ts'

/** What a small picture draws: a line through the past, and the target's course. Numbers in the brewer's units. */
export interface SmallPicture {
  readonly from_ms: number
  readonly to_ms: number
  readonly low: number
  readonly high: number
  /** SVG paths in a frame of `WIDTH` by `HEIGHT`. */
  readonly measured: string
  readonly expected: string
  /** Where now is, in the frame. */
  readonly now: number
}

export const WIDTH = 240
export const HEIGHT = 56
/** The least height of the picture in degrees, so that noise is not drawn as drama. */
const LEAST_SPAN = 4

export interface Point {
  readonly at_ms: number
  readonly value: number
}

export function smallPicture(
  past: readonly Bucket[],
  ahead: readonly Point[],
  span: { readonly from_ms: number; readonly now_ms: number; readonly to_ms: number },
  of: (value: number) => number,
): SmallPicture {
  const measured = past.map(({ from_ms, mean }) => ({ at_ms: from_ms, value: of(mean) }))
  const expected = ahead.map(({ at_ms, value }) => ({ at_ms, value: of(value) }))
  const values = [...measured, ...expected].map(({ value }) => value)
  const middle = values.length === 0 ? 0 : (Math.min(...values) + Math.max(...values)) / 2
  const half = Math.max(LEAST_SPAN, ...values.map(value => 2 * Math.abs(value - middle))) / 2
  const [low, high] = [middle - half * 1.1, middle + half * 1.1]
  const x = (at_ms: number) => ((at_ms - span.from_ms) / (span.to_ms - span.from_ms)) * WIDTH
  const y = (value: number) => HEIGHT - ((value - low) / (high - low)) * HEIGHT
  return {
    from_ms: span.from_ms,
    to_ms: span.to_ms,
    low,
    high,
    measured: pathOf(measured, x, y, 0.04 * (span.to_ms - span.from_ms)),
    expected: pathOf(expected, x, y, Number.POSITIVE_INFINITY),
    now: x(span.now_ms),
  }
}

/** A line through the points, broken where there is a silence. */
function pathOf(
  points: readonly Point[],
  x: (at_ms: number) => number,
  y: (value: number) => number,
  silence_ms: number,
): string {
  return points
    .map(({ at_ms, value }, index) => {
      const before = points[index - 1]
      const pen = before === undefined || at_ms - before.at_ms > silence_ms ? 'M' : 'L'
      return `${pen}${x(at_ms).toFixed(1)} ${y(value).toFixed(1)}`
    })
    .join('')
}
