import type { Bucket } from '@attemper/server/http/published.ts'

/** What a small picture draws, as SVG paths in a frame of `WIDTH` by `HEIGHT`. */
export interface SmallPicture {
  /** The ends of its scale, °C. */
  readonly low_C: number
  readonly high_C: number
  readonly measured: string
  readonly expected: string
  /** Where nine in ten runs are expected. */
  readonly band: string
  /** Where now is, in the frame. */
  readonly now: number
}

export interface ExpectedPoint {
  readonly at_ms: number
  readonly low_C: number
  readonly middle_C: number
  readonly high_C: number
}

export const WIDTH = 240
export const HEIGHT = 56
/** The least height of the picture, so that noise is not drawn as drama. */
const LEAST_SPAN_K = 4
/** A share of the whole time without a reading breaks the line. */
const SILENCE = 0.04

interface Point {
  readonly at_ms: number
  readonly value: number
}

/** @param past mean temperatures, °C @param ahead what is expected; what lies beyond `to_ms` is left out */
export function smallPicture(
  past: readonly Bucket[],
  ahead: readonly ExpectedPoint[],
  { from_ms, now_ms, to_ms }: { readonly from_ms: number; readonly now_ms: number; readonly to_ms: number },
): SmallPicture {
  const measured = past.map(({ from_ms: at_ms, mean }) => ({ at_ms, value: mean }))
  const coming = ahead.filter(({ at_ms }) => at_ms >= now_ms && at_ms <= to_ms)
  const values = [
    ...measured.map(({ value }) => value),
    ...coming.flatMap(({ low_C, high_C }) => [low_C, high_C]),
  ]
  const middle = values.length === 0 ? 0 : (Math.min(...values) + Math.max(...values)) / 2
  const half = 0.55 * Math.max(LEAST_SPAN_K, ...values.map(value => 2 * Math.abs(value - middle)))
  const x = (at_ms: number) => ((at_ms - from_ms) / (to_ms - from_ms)) * WIDTH
  const y = (value: number) => HEIGHT * (0.5 - (value - middle) / (2 * half))
  const line = (points: readonly Point[], silence_ms: number) => pathOf(points, x, y, silence_ms)
  const row = (side: 'low_C' | 'high_C' | 'middle_C') =>
    coming.map(point => ({ at_ms: point.at_ms, value: point[side] }))
  const outline = [...row('high_C'), ...row('low_C').reverse()]
  return {
    low_C: middle - half,
    high_C: middle + half,
    measured: line(measured, SILENCE * (to_ms - from_ms)),
    expected: line(row('middle_C'), Number.POSITIVE_INFINITY),
    band: outline.length === 0 ? '' : `${line(outline, Number.POSITIVE_INFINITY)}Z`,
    now: x(now_ms),
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
