import type { Joined } from './join-columns.ts'

/** The columns of a chart of past and forecast, in the order in which they are joined. */
export const PLACES = {
  mean: 0,
  least: 1,
  greatest: 2,
  target: 3,
  points: 4,
  p95: 5,
  p5: 6,
  p75: 7,
  p25: 8,
  p50: 9,
} as const

/** What a chart shows at one time; null: nothing. */
export interface ReadingAt {
  readonly at: number
  readonly mean: number | null
  readonly least: number | null
  readonly greatest: number | null
  readonly target: number | null
  readonly byHand: number | null
  readonly p5: number | null
  readonly p50: number | null
  readonly p95: number | null
}

/**
 * What is drawn over a place of the axis: what was measured as it was heard last, everything else where its line runs
 * there, which may be between two of its own places.
 */
export function readingAt({ x, columns }: Joined, place: number): ReadingAt {
  const heard = (name: 'mean' | 'least' | 'greatest') => lastAt(columns[PLACES[name]]!, place)
  const on = (name: 'target' | 'p5' | 'p50' | 'p95') => onLine(x, columns[PLACES[name]]!, place)
  return {
    at: x[place]!,
    mean: heard('mean'),
    least: heard('least'),
    greatest: heard('greatest'),
    target: on('target'),
    byHand: columns[PLACES.points]![place] ?? null,
    p5: on('p5'),
    p50: on('p50'),
    p95: on('p95'),
  }
}

/** A time in sight for each row of a table of so many rows at the most: the places nearest to equal distances. */
export function placesOf(x: readonly number[], low: number, high: number, most: number): readonly number[] {
  const inSight = x.flatMap((at, place) => (at >= low && at <= high ? [place] : []))
  if (inSight.length <= most) return inSight
  const wanted = Array.from({ length: most }, (_, n) => low + ((n + 0.5) * (high - low)) / most)
  let from = 0
  const places = wanted.map(at => {
    while (
      from + 1 < inSight.length &&
      Math.abs(x[inSight[from + 1]!]! - at) <= Math.abs(x[inSight[from]!]! - at)
    )
      from += 1
    return inSight[from]!
  })
  return [...new Set(places)]
}

type Values = readonly (number | null | undefined)[]

/** The value at a place, or at the nearest before it that is part of the same table. */
function lastAt(values: Values, place: number): number | null {
  for (let n = place; n >= 0; n -= 1) if (values[n] !== undefined) return values[n]!
  return null
}

/** Where a line runs at a place: between its own two places on either side. */
function onLine(x: readonly number[], values: Values, place: number): number | null {
  let before = place
  while (before >= 0 && values[before] === undefined) before -= 1
  let after = place
  while (after < values.length && values[after] === undefined) after += 1
  const [from, to] = [values[before] ?? null, values[after] ?? null]
  if (from === null || to === null || before === after) return before === after ? from : null
  return from + ((to - from) * (x[place]! - x[before]!)) / (x[after]! - x[before]!)
}
