import { and, FALSE, type Truth, truthOf, UNKNOWN } from '../engine/kleene.ts'
import { trendOf } from '../engine/trend.ts'
import type { FloatBounds } from './float-bounds.ts'

/** What the instruments have said lately. null: nobody knows, or what is known is too old. */
export interface FloatReadings {
  readonly float_C: number | null
  readonly beer_C: number | null
  /** Good gravities of the float (at_s, SG), oldest first. Those that are asked about must all be there. */
  readonly gravities: readonly (readonly [at_s: number, gravity: number])[]
}

/** Whether a float is in the wort, item by item. */
export interface FloatJudgement {
  /** The float is as warm as the beer. */
  readonly temperature: Truth
  /** Its latest gravity is near the expected one. */
  readonly gravity: Truth
  /** It has not moved for a while. Unknown while there are too few readings. */
  readonly steady: Truth
  /** All three: only then is it demonstrably in the wort. */
  readonly inWort: Truth
  /** The readings that `steady` rests on, and their mean; null: there is none yet. */
  readonly readings: number
  readonly mean_SG: number | null
}

/**
 * Judges from its recent readings whether a float is in the wort. Each single sign can deceive: a float on the bench may be
 * as warm as the beer, one in a jug of water is steady, one that is just being lowered may read anything. All three
 * together, over an hour, can hardly.
 */
export function judgeFloat(readings: FloatReadings, bounds: FloatBounds): FloatJudgement {
  const { float_C, beer_C, gravities } = readings
  const latest = gravities.at(-1)
  const temperature =
    float_C === null || beer_C === null ? UNKNOWN : truthOf(Math.abs(float_C - beer_C) <= bounds.apart_K)
  const { expected_SG, near_SG } = bounds
  const gravity =
    latest === undefined || expected_SG === null
      ? UNKNOWN
      : truthOf(Math.abs(latest[1] - expected_SG) <= near_SG)
  const recent = sinceEdge(gravities, bounds.steadyFor_s)
  const steady = steadiness(gravities, recent, bounds)
  return {
    temperature,
    gravity,
    steady,
    inWort: and(and(temperature, gravity), steady),
    readings: recent.length,
    mean_SG: recent.length === 0 ? null : meanOf(recent),
  }
}

function steadiness(
  gravities: FloatReadings['gravities'],
  recent: FloatReadings['gravities'],
  { steadyFor_s, leastReadings, drift_SG, spread_SG }: FloatBounds,
): Truth {
  const values = recent.map(([, value]) => value)
  // Too far apart already is too far apart, however short the time.
  if (values.length > 1 && Math.max(...values) - Math.min(...values) > spread_SG) return FALSE
  const trend = trendOf(gravities, steadyFor_s)
  if (trend === null || recent.length < leastReadings) return UNKNOWN
  return truthOf(Math.abs(trend.slope_per_s) * steadyFor_s <= drift_SG)
}

/** Those of the last `window_s`, and the one before them: where the line through them begins (trend.ts). */
function sinceEdge(gravities: FloatReadings['gravities'], window_s: number): FloatReadings['gravities'] {
  const edge_s = (gravities.at(-1)?.[0] ?? 0) - window_s
  const first = gravities.findLastIndex(([at_s]) => at_s <= edge_s)
  return gravities.slice(Math.max(0, first))
}

function meanOf(recent: FloatReadings['gravities']): number {
  return recent.reduce((sum, [, value]) => sum + value, 0) / recent.length
}
