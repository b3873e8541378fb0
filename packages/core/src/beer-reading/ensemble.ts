/**
 * Curves drawn from the posterior: a sequential Monte Carlo sampler (Del Moral, Doucet and Jasra 2006). It starts from the
 * prior and brings in the likelihood little by little, so that the weights never collapse on one curve; after each step the
 * curves are drawn anew in proportion to their weights and moved by differential evolution (ter Braak 2006), which finds its
 * own directions and jumps between separate heaps.
 */
import { type Draw, drawFor } from '../random/draw.ts'
import type { Posterior } from './posterior.ts'

export interface Ensemble {
  readonly size: number
  readonly count: number
  /** `size` numbers for each curve. */
  readonly points: Float64Array
  readonly logLikelihood: Float64Array
  /** ln of the probability of the readings: how well they were predicted. */
  readonly logEvidence: number
}

/** Weights whose effective number falls below this share are drawn anew. */
const EFFECTIVE = 0.5
const SWEEPS = 4
const LAST_SWEEPS = 8
const MOST_STEPS = 60

/** Curves from the posterior, from the prior on. */
export function drawEnsemble(posterior: Posterior, count: number, seed: number): Ensemble {
  const draw = drawFor(seed, 0)
  const { size } = posterior
  const points = new Float64Array(count * size)
  const logLikelihood = new Float64Array(count)
  const logPrior = new Float64Array(count)
  for (let n = 0; n < count; n++) {
    posterior.draw(points, n * size, draw)
    logLikelihood[n] = posterior.logLikelihood(points, n * size)
    logPrior[n] = posterior.logPrior(points, n * size)
  }
  const cloud: Cloud = { size, count, points, logLikelihood, logPrior }
  return bringIn(posterior, cloud, draw)
}

interface Cloud {
  readonly size: number
  readonly count: number
  readonly points: Float64Array
  readonly logLikelihood: Float64Array
  readonly logPrior: Float64Array
}

/** Below this effective share an ensemble has nothing to do with what is known by now: it is drawn from the prior again. */
const LOST = 0.05

/**
 * The ensemble after the posterior has changed a little, as by one more reading. Curves are weighted by how much more probable
 * they have become. `stays`: the weights are even enough for the ensemble before to be kept; `now` is it, drawn anew by its
 * weights. Otherwise the curves are moved as well, and take the place of those before.
 */
export function renewEnsemble(
  posterior: Posterior,
  before: Ensemble,
  seed: number,
): { now: Ensemble; stays: boolean } {
  const { size, count } = before
  if (size !== posterior.size) return { now: drawEnsemble(posterior, count, seed), stays: false }
  const points = before.points.slice()
  const logLikelihood = new Float64Array(count)
  const logPrior = new Float64Array(count)
  const gained = new Float64Array(count)
  for (let n = 0; n < count; n++) {
    logLikelihood[n] = posterior.logLikelihood(points, n * size)
    gained[n] = logLikelihood[n]! - before.logLikelihood[n]!
  }
  const { weights, logMean } = weightsFor(gained, 1)
  const effective = effectiveShare(weights)
  if (!(effective > LOST)) return { now: drawEnsemble(posterior, count, seed), stays: false }
  const draw = drawFor(seed, 1)
  const cloud: Cloud = { size, count, points, logLikelihood, logPrior }
  takeAnew(cloud, weights, draw)
  const now = { size, count, points, logLikelihood, logEvidence: before.logEvidence + logMean }
  if (effective > EFFECTIVE) return { now, stays: true }
  for (let n = 0; n < count; n++) logPrior[n] = posterior.logPrior(points, n * size)
  for (let sweep = 0; sweep < LAST_SWEEPS; sweep++) moveAll(posterior, cloud, 1, draw)
  return { now, stays: false }
}

/** Brings in the likelihood from nothing to the whole; the curves are distributed as the prior at the start. */
function bringIn(posterior: Posterior, cloud: Cloud, draw: Draw): Ensemble {
  let power = 0
  let logEvidence = 0
  for (let step = 0; power < 1 && step < MOST_STEPS; step++) {
    const next = step === MOST_STEPS - 1 ? 1 : nextPower(cloud.logLikelihood, power)
    const { weights, logMean } = weightsFor(cloud.logLikelihood, next - power)
    logEvidence += logMean
    power = next
    takeAnew(cloud, weights, draw)
    const sweeps = power >= 1 ? LAST_SWEEPS : SWEEPS
    for (let sweep = 0; sweep < sweeps; sweep++) moveAll(posterior, cloud, power, draw)
  }
  const { size, count, points, logLikelihood } = cloud
  return { size, count, points, logLikelihood, logEvidence }
}

function weightsFor(logLikelihood: Float64Array, power: number) {
  let most = Number.NEGATIVE_INFINITY
  for (const log of logLikelihood) if (log > most) most = log
  const weights = logLikelihood.map(log => Math.exp(power * (log - most)))
  const total = weights.reduce((a, b) => a + b, 0)
  for (let n = 0; n < weights.length; n++) weights[n]! /= total
  return { weights, logMean: power * most + Math.log(total / weights.length) }
}

function effectiveShare(weights: Float64Array): number {
  let squares = 0
  for (const weight of weights) squares += weight * weight
  return 1 / squares / weights.length
}

/** The power at which the effective number has fallen to its limit, by halving. */
function nextPower(logLikelihood: Float64Array, power: number): number {
  const effective = (to: number) => effectiveShare(weightsFor(logLikelihood, to - power).weights)
  if (effective(1) >= EFFECTIVE) return 1
  let [low, high] = [power, 1]
  for (let k = 0; k < 25; k++) {
    const middle = (low + high) / 2
    if (effective(middle) >= EFFECTIVE) low = middle
    else high = middle
  }
  return high
}

/** Systematic resampling (Kitagawa 1996). */
function takeAnew(cloud: Cloud, weights: Float64Array, draw: Draw): void {
  const { size, count, points, logLikelihood, logPrior } = cloud
  const [oldPoints, oldLikelihood, oldPrior] = [points.slice(), logLikelihood.slice(), logPrior.slice()]
  let [from, reached] = [0, weights[0]!]
  const start = draw.uniform()
  for (let n = 0; n < count; n++) {
    const mark = (n + start) / count
    while (reached < mark && from < count - 1) reached += weights[++from]!
    points.set(oldPoints.subarray(from * size, (from + 1) * size), n * size)
    logLikelihood[n] = oldLikelihood[from]!
    logPrior[n] = oldPrior[from]!
  }
}

/** One move of each curve along the difference of two others. */
function moveAll(posterior: Posterior, cloud: Cloud, power: number, draw: Draw): void {
  const { size, count, points, logLikelihood, logPrior } = cloud
  const tried = new Float64Array(size)
  const usual = 2.38 / Math.sqrt(2 * size)
  for (let n = 0; n < count; n++) {
    const [a, b] = [Math.floor(draw.uniform() * count), Math.floor(draw.uniform() * count)]
    if (a === b || a === n || b === n) continue
    const jump = draw.uniform() < 0.1 ? 1 : usual * (0.4 + draw.uniform())
    for (let i = 0; i < size; i++) {
      const difference = points[a * size + i]! - points[b * size + i]!
      tried[i] = points[n * size + i]! + jump * difference + 1e-4 * draw.normal()
    }
    const prior = posterior.logPrior(tried, 0)
    const chance = Math.log(draw.uniform() + 1e-300)
    // What the prior alone forbids needs no look at the readings.
    const needed = (chance + logPrior[n]! - prior) / Math.max(power, 1e-12) + logLikelihood[n]!
    const likelihood = posterior.logLikelihood(tried, 0)
    if (likelihood < needed) continue
    points.set(tried, n * size)
    logLikelihood[n] = likelihood
    logPrior[n] = prior
  }
}
