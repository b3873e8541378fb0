/** What an ensemble of curves says of a beer: gravities and times as weighted quantiles. */
import { attenuationOf, type Course, CURVE, courseOf, tauWhenLeft_h } from './curve.ts'
import type { Ensemble } from './ensemble.ts'
import { warmthPlace } from './posterior.ts'
import { type KnownTemperature, pace, temperatureAt_C, thermalTables } from './thermal-time.ts'

export interface Quantiles {
  readonly p5: number
  readonly p25: number
  readonly p50: number
  readonly p75: number
  readonly p95: number
}

export function quantiles(values: Float64Array): Quantiles {
  const sorted = values.toSorted()
  const at = (share: number) => {
    const place = share * (sorted.length - 1)
    const low = Math.floor(place)
    const high = Math.min(sorted.length - 1, low + 1)
    return sorted[low]! + (place - low) * (sorted[high]! - sorted[low]!)
  }
  return { p5: at(0.05), p25: at(0.25), p50: at(0.5), p75: at(0.75), p95: at(0.95) }
}

/** One curve of the ensemble in plain numbers. */
export interface PlainCurve {
  readonly original: number
  readonly final: number
  readonly course: Course
  readonly warmth: number
  readonly scatter: number
}

export function plainCurve(points: Float64Array, at: number, original_points: number): PlainCurve {
  const original = original_points + points[at + CURVE.original]!
  return {
    original,
    final: original * (1 - attenuationOf(points[at + CURVE.attenuation]!)),
    course: courseOf(points, at),
    warmth: points[at + CURVE.warmth]!,
    scatter: Math.exp(points[at + CURVE.scatter]!),
  }
}

/** Into this many parts the time so far is divided, between which thermal time runs straight. */
const PARTS = 16

/** When each curve comes to within some points of its end, h; the temperature stays as it was last. */
export function nearEnd_h(
  ensemble: Ensemble,
  original_points: number,
  temperatures: readonly KnownTemperature[],
  now_h: number,
  within_points: number,
): Float64Array {
  const until = Array.from({ length: PARTS }, (_, part) => (now_h * (part + 1)) / PARTS)
  const tables = thermalTables(temperatures, until)
  const last_C = temperatureAt_C(temperatures, now_h)
  const times = new Float64Array(ensemble.count)
  for (let n = 0; n < ensemble.count; n++) {
    const curve = plainCurve(ensemble.points, n * ensemble.size, original_points)
    const left = Math.min(1, within_points / Math.max(1e-6, curve.original - curve.final))
    const tau_h = tauWhenLeft_h(curve.course, left)
    const { index, share } = warmthPlace(curve.warmth)
    const passed = until.map((_, m) => {
      const low = tables[index]![m]!
      return low + share * (tables[index + 1]![m]! - low)
    })
    times[n] = momentOf(tau_h, until, passed, pace(last_C, curve.warmth))
  }
  return times
}

/** The moment of a thermal time: straight between known ones, at the last pace after them. */
function momentOf(
  tau_h: number,
  moments_h: readonly number[],
  passed: readonly number[],
  last: number,
): number {
  let [from_h, from] = [0, 0]
  for (const [m, until] of passed.entries()) {
    if (tau_h <= until) return from_h + ((tau_h - from) / (until - from)) * (moments_h[m]! - from_h)
    ;[from_h, from] = [moments_h[m]!, until]
  }
  return from_h + (tau_h - from) / last
}
