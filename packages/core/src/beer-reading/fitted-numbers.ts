/** The numbers of yeast and wort as a brewer would say them, with 90 % intervals. */
import { attenuationOf, CURVE } from './curve.ts'
import type { Matrix } from './matrix.ts'
import { YEAST_FROM, YEAST_SIZE } from './prior.ts'

export interface Interval {
  readonly p5: number
  readonly p50: number
  readonly p95: number
}

export interface FittedNumbers {
  /** Apparent attenuation, a share. */
  readonly attenuation: Interval
  /** Hours until half of the fall has passed, at 20 °C. */
  readonly half_h: Interval
  /** Lag as a share of the half-time. */
  readonly lag: Interval
  /** Share of the fall that is left when the rate has halved. */
  readonly shortage: Interval
  /** How many times as fast it ferments when it is 10 °C warmer. */
  readonly warmth: Interval
}

const NORMAL_95 = 1.6449

export function numbersOf(fit: { mean: readonly number[]; covariance: Matrix }): FittedNumbers {
  const of = (place: number, say: (value: number) => number): Interval => {
    const at = place - YEAST_FROM
    const sd = Math.sqrt(Math.max(0, fit.covariance[at * YEAST_SIZE + at]!))
    const value = (z: number) => say(fit.mean[at]! + z * sd)
    return { p5: value(-NORMAL_95), p50: value(0), p95: value(NORMAL_95) }
  }
  return {
    attenuation: of(CURVE.attenuation, attenuationOf),
    half_h: of(CURVE.half, Math.exp),
    lag: of(CURVE.lag, logit => 1 / (1 + Math.exp(-logit))),
    shortage: of(CURVE.shortage, Math.exp),
    warmth: of(CURVE.warmth, Math.exp),
  }
}

/** The final gravity that follows from an attenuation, specific gravity. */
export function finalGravity(attenuation: Interval, original_points: number): Interval {
  const final = (share: number) => 1 + (original_points * (1 - share)) / 1000
  return { p5: final(attenuation.p95), p50: final(attenuation.p50), p95: final(attenuation.p5) }
}
