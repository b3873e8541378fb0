/** What an ensemble of curves, and what wanders about them, says of a gravity and its reading at any moment. */
import { drawFor } from '../random/draw.ts'
import { leftAt } from './curve.ts'
import { plainCurve } from './curves-of-ensemble.ts'
import type { Ensemble } from './ensemble.ts'
import { type Posterior, stirred, wanderLater, warmthPlace } from './posterior.ts'
import { type KnownTemperature, thermalTables } from './thermal-time.ts'

/** Gravity in points of each member at a moment, the curve alone and with what wanders about it. */
export interface GravityDraws {
  readonly curve: Float64Array
  readonly gravity: Float64Array
}

/** Standard normal draws for each member, the same for one seed. */
export function normals(count: number, seed: number): Float64Array {
  const draw = drawFor(seed, 0x6e6f)
  return Float64Array.from({ length: count }, () => draw.normal())
}

export function gravityAt(
  posterior: Posterior,
  ensemble: Ensemble,
  original_points: number,
  temperatures: readonly KnownTemperature[],
  at_h: number,
  seed: number,
): GravityDraws {
  const tables = thermalTables(temperatures, [Math.max(0, at_h)])
  const [curve, gravity] = [new Float64Array(ensemble.count), new Float64Array(ensemble.count)]
  const chance = normals(ensemble.count, seed)
  for (let n = 0; n < ensemble.count; n++) {
    const at = n * ensemble.size
    const plain = plainCurve(ensemble.points, at, original_points)
    const { index, share } = warmthPlace(plain.warmth)
    const low = tables[index]![0]!
    const left = leftAt(plain.course, low + share * (tables[index + 1]![0]! - low))
    curve[n] = plain.final + (plain.original - plain.final) * left
    const { mean, variance } = wanderLater(posterior.wander(ensemble.points, at), at_h)
    gravity[n] = curve[n]! + plain.scatter * stirred(left) * (mean + Math.sqrt(variance) * chance[n]!)
  }
  return { curve, gravity }
}
