/**
 * What is believed of a curve before its first reading: a mixture of multivariate Student-t members over the six numbers that
 * belong to yeast and wort (attenuation, half-time, ramp, lag, shortage, warmth). Some members are yeasts that were seen, one is
 * the wide spread between yeasts, and one stands for no yeast at all: the logistic curve with a spread so wide that only the
 * readings speak. By Bayes' rule a member's weight follows how well it has predicted the readings so far.
 */
import type { Draw } from '../random/draw.ts'
import { CURVE, CURVE_SIZE, logitOf } from './curve.ts'
import { cholesky, diagonal, type Matrix, solveLower } from './matrix.ts'

/** How many numbers belong to yeast and wort, and where they begin among those of a curve. */
export const YEAST_SIZE = 6
export const YEAST_FROM = CURVE.attenuation

export interface PriorMember {
  readonly name: string
  readonly weight: number
  readonly mean: readonly number[]
  readonly covariance: Matrix
}

export interface Prior {
  readonly members: readonly PriorMember[]
}

/** The tails of a member: this many degrees of freedom. */
const FREEDOM = 6
/** Scatter about the curve, points: half of all between 0.7 and 1.4, as in the records. */
const SCATTER = { mean: 0, sd: 0.5 }

/** Nothing known of yeast or wort: what records are fitted with before anything is learned from them. */
export const WIDE: PriorMember = {
  name: 'any curve',
  weight: 1,
  mean: [logitOf(0.78), Math.log(55), Math.log(5), -0.4, Math.log(0.15), 0.75],
  covariance: diagonal([0.9 ** 2, 0.8 ** 2, 0.7 ** 2, 1, 1, 0.35 ** 2]),
}

/** A curve without a model of yeast: logistic, as fast and as deep as the readings say, deaf to warmth. */
export const FREE: PriorMember = {
  name: 'no yeast',
  weight: 1,
  mean: [logitOf(0.75), Math.log(60), Math.log(4), -0.4, Math.log(0.4), 0],
  covariance: diagonal([0.7 ** 2, 0.9 ** 2, 0.8 ** 2, 1, 0.8 ** 2, 0.05 ** 2]),
}

/** What the temperature would say if it were known: half of all beers ferment within 4 K of 19 °C (judgement). */
const UNKNOWN_WARMTH_SD = 0.35

interface Prepared {
  readonly logWeight: number
  readonly mean: Float64Array
  readonly lower: Matrix
  readonly logScale: number
}

export interface PreparedPrior {
  readonly size: number
  readonly names: readonly string[]
  logDensity(point: Float64Array, at: number): number
  draw(into: Float64Array, at: number, from: Draw): void
  /** Which member a point most likely belongs to: weights that add up to one. */
  memberWeights(point: Float64Array, at: number): Float64Array
}

/** A prior for points with `extras_sd.length` further numbers behind the curve's, each about zero. */
export function preparePrior(
  prior: Prior,
  options: { original_sd: number; temperatureKnown: boolean; extras_sd: readonly number[] },
): PreparedPrior {
  const total = prior.members.reduce((all, member) => all + member.weight, 0)
  const members = prior.members.map(member => prepareMember(member, total, options.temperatureKnown))
  const size = CURVE_SIZE + options.extras_sd.length
  const singles = [
    { at: CURVE.original, mean: 0, sd: options.original_sd },
    { at: CURVE.scatter, ...SCATTER },
    ...options.extras_sd.map((sd, index) => ({ at: CURVE_SIZE + index, mean: 0, sd })),
  ]
  const off = new Float64Array(YEAST_SIZE)
  const logs = new Float64Array(members.length)
  function memberLogs(point: Float64Array, at: number): number {
    let most = Number.NEGATIVE_INFINITY
    for (const [m, member] of members.entries()) {
      for (let i = 0; i < YEAST_SIZE; i++) off[i] = point[at + YEAST_FROM + i]! - member.mean[i]!
      solveLower(member.lower, YEAST_SIZE, off)
      let distance = 0
      for (let i = 0; i < YEAST_SIZE; i++) distance += off[i]! * off[i]!
      const log =
        member.logWeight - member.logScale - ((FREEDOM + YEAST_SIZE) / 2) * Math.log1p(distance / FREEDOM)
      logs[m] = log
      if (log > most) most = log
    }
    return most
  }
  return {
    size,
    names: prior.members.map(member => member.name),
    logDensity(point, at) {
      const most = memberLogs(point, at)
      let parts = 0
      for (const log of logs) parts += Math.exp(log - most)
      let density = most + Math.log(parts)
      for (const { at: index, mean, sd } of singles) density -= ((point[at + index]! - mean) / sd) ** 2 / 2
      return density
    },
    draw(into, at, from) {
      drawMember(members, into, at, from)
      for (const { at: index, mean, sd } of singles) into[at + index] = mean + sd * from.normal()
    },
    memberWeights(point, at) {
      const most = memberLogs(point, at)
      const weights = logs.map(log => Math.exp(log - most))
      const all = weights.reduce((a, b) => a + b, 0)
      return weights.map(weight => weight / all)
    },
  }
}

function prepareMember(member: PriorMember, total: number, temperatureKnown: boolean): Prepared {
  const covariance = member.covariance.slice()
  const half = CURVE.half - YEAST_FROM
  if (!temperatureKnown) covariance[half * YEAST_SIZE + half]! += UNKNOWN_WARMTH_SD ** 2
  const lower = cholesky(covariance, YEAST_SIZE)
  let logScale = 0
  for (let i = 0; i < YEAST_SIZE; i++) logScale += Math.log(lower[i * YEAST_SIZE + i]!)
  return { logWeight: Math.log(member.weight / total), mean: Float64Array.from(member.mean), lower, logScale }
}

function drawMember(members: readonly Prepared[], into: Float64Array, at: number, from: Draw): void {
  let rest = from.uniform()
  let member = members[0]!
  for (const each of members) {
    member = each
    rest -= Math.exp(each.logWeight)
    if (rest <= 0) break
  }
  let chi = 0
  for (let k = 0; k < FREEDOM; k++) chi += from.normal() ** 2
  const wide = Math.sqrt(FREEDOM / chi)
  const z = Array.from({ length: YEAST_SIZE }, () => from.normal() * wide)
  for (let i = 0; i < YEAST_SIZE; i++) {
    let value = member.mean[i]!
    for (let k = 0; k <= i; k++) value += member.lower[i * YEAST_SIZE + k]! * z[k]!
    into[at + YEAST_FROM + i] = value
  }
}
