/**
 * Simulation-based calibration (Talts, Betancourt, Simpson, Vehtari and Gelman 2018): curves are drawn from the prior, readings
 * from the curves, and the true number's rank among draws of the posterior must be as likely to be any. Flatness is judged by
 * Pearson's chi-squared test.
 */
import { CURVE } from '@attemper/core/beer-reading/curve.ts'
import { plainCurve } from '@attemper/core/beer-reading/curves-of-ensemble.ts'
import { drawEnsemble } from '@attemper/core/beer-reading/ensemble.ts'
import { EXACT } from '@attemper/core/beer-reading/instrument.ts'
import { posteriorOf, type Question } from '@attemper/core/beer-reading/posterior.ts'
import type { Prior } from '@attemper/core/beer-reading/prior.ts'
import { drawFor } from '@attemper/core/random/draw.ts'

export interface Flatness {
  readonly quantity: string
  readonly ranks: readonly number[]
  readonly chiSquared: number
  readonly freedom: number
  /** Chance of ranks at least as uneven as these, if the estimator is calibrated. */
  readonly p: number
}

const ORIGINAL_points = 50
/** Moments of the readings, h: a float's day and night, and a few days without. */
const MOMENTS_h = [0, 8, 16, 24, 30, 36, 42, 48, 56, 64, 72, 84]
const MEMBERS = 200
/** Draws that a truth is ranked among, and how many ranks make a bin. */
const RANKED = 19
const BINS = 10

const QUANTITIES = {
  'final gravity': (points: Float64Array, at: number) => plainCurve(points, at, ORIGINAL_points).final,
  'half-time': (points: Float64Array, at: number) => points[at + CURVE.half]!,
  lag: (points: Float64Array, at: number) => points[at + CURVE.lag]!,
  shortage: (points: Float64Array, at: number) => points[at + CURVE.shortage]!,
  scatter: (points: Float64Array, at: number) => points[at + CURVE.scatter]!,
} as const

const NAMES = Object.keys(QUANTITIES) as (keyof typeof QUANTITIES)[]

/** From the ranks of each quantity in each replicate: are they flat? */
export function flatnessOf(replicates: readonly (readonly number[])[]): readonly Flatness[] {
  return NAMES.map((quantity, q) => {
    const bins = new Array<number>(BINS).fill(0)
    for (const ranks of replicates) bins[Math.floor((ranks[q]! * BINS) / (RANKED + 1))]! += 1
    return flatness(quantity, bins)
  })
}

/** The rank of each true quantity of one curve drawn from the prior. */
export function ranksOf(prior: Prior, seed: number, replicate: number): readonly number[] {
  const draw = drawFor(seed, replicate)
  const question: Question = {
    prior,
    original_points: ORIGINAL_points,
    original_sd: 1,
    instruments: [{ ...EXACT, noise_points: 0.5 }],
    groups: MOMENTS_h.map(at_h => ({ instrument: 0, at_h, points: 0, count: 1 })),
    temperatures: [{ at_h: 0, value_C: 19 }],
  }
  const blank = posteriorOf(question)
  const truth = new Float64Array(blank.size)
  blank.draw(truth, 0, draw)
  const seen = blank.simulate(truth, 0, draw)
  const groups = question.groups.map((group, index) => ({ ...group, points: seen[index]! }))
  const { points, size } = drawEnsemble(posteriorOf({ ...question, groups }), MEMBERS, draw.seed())
  const chosen = Array.from({ length: RANKED }, () => Math.floor(draw.uniform() * MEMBERS) * size)
  return NAMES.map(name => {
    const value = QUANTITIES[name](truth, 0)
    return chosen.filter(at => QUANTITIES[name](points, at) < value).length
  })
}

export function flatness(quantity: string, ranks: readonly number[]): Flatness {
  const expected = ranks.reduce((a, b) => a + b, 0) / ranks.length
  const chiSquared = ranks.reduce((total, count) => total + (count - expected) ** 2 / expected, 0)
  const freedom = ranks.length - 1
  return { quantity, ranks, chiSquared, freedom, p: upperTail(chiSquared, freedom) }
}

/** P(chi-squared > x), from the series of the incomplete gamma function (Abramowitz and Stegun 6.5.29). */
export function upperTail(x: number, freedom: number): number {
  const a = freedom / 2
  const half = x / 2
  if (half <= 0) return 1
  let [term, total] = [1 / a, 1 / a]
  for (let n = 1; n < 500; n++) {
    term *= half / (a + n)
    total += term
  }
  return Math.max(0, 1 - total * Math.exp(a * Math.log(half) - half - logGamma(a)))
}

/** Of halves and wholes, by recurrence from Γ(1/2) = √π and Γ(1) = 1. */
function logGamma(a: number): number {
  let log = 0
  let rest = a
  while (rest > 1) log += Math.log(--rest)
  return rest === 0.5 ? log + Math.log(Math.PI) / 2 : log
}
