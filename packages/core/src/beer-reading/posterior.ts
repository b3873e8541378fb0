/** How probable a curve is, given the readings so far: prior times a likelihood that no outlier can rule (Student-t). */
import type { Draw } from '../random/draw.ts'
import { attenuationOf, CURVE, CURVE_SIZE, courseOf, leftAt } from './curve.ts'
import { type Group, instrumentVariance } from './gathered.ts'
import { type ErrorPlaces, errorPlaces, type InstrumentErrors } from './instrument.ts'
import { type PreparedPrior, type Prior, preparePrior } from './prior.ts'
import { type KnownTemperature, thermalTables, WARMTHS } from './thermal-time.ts'

export interface Question {
  readonly prior: Prior
  /** Stated or first-read original gravity, points, and its standard deviation. */
  readonly original_points: number
  readonly original_sd: number
  readonly instruments: readonly InstrumentErrors[]
  readonly groups: readonly Group[]
  readonly temperatures: readonly KnownTemperature[]
}

/** How far a beer is from a curve, in units of the curve's scatter, as the readings until the last one say. */
export interface Wander {
  at_h: number
  mean: number
  variance: number
}

export interface Posterior {
  readonly size: number
  readonly prior: PreparedPrior
  readonly places: readonly ErrorPlaces[]
  draw(into: Float64Array, at: number, from: Draw): void
  logPrior(points: Float64Array, at: number): number
  logLikelihood(points: Float64Array, at: number): number
  wander(points: Float64Array, at: number): Wander
  /** Values of the groups as the curve at `at` would give them by chance: what a test of calibration reads. */
  simulate(points: Float64Array, at: number, from: Draw): readonly number[]
}

/** Degrees of freedom of the errors of readings. */
const FREEDOM = 4
/** After this time what wanders about a curve has forgotten where it was, h: chosen on the records. */
const WANDER_h = 16
/** A beer that stands still wanders less than one at half of its fall: this share of the variance. */
const STILL = 0.15

export function posteriorOf(question: Question): Posterior {
  const { places, extras_sd } = errorPlaces(question.instruments, CURVE_SIZE)
  const prior = preparePrior(question.prior, {
    original_sd: question.original_sd,
    temperatureKnown: question.temperatures.length > 0,
    extras_sd,
  })
  const filter = likelihood(question, places)
  return {
    size: prior.size,
    prior,
    places,
    draw: (into, at, from) => prior.draw(into, at, from),
    logPrior: (points, at) => prior.logDensity(points, at),
    logLikelihood: (points, at) => filter.log(points, at, null, null),
    wander: (points, at) => {
      const wander = { at_h: 0, mean: 0, variance: 1 }
      filter.log(points, at, wander, null)
      return wander
    },
    simulate: (points, at, from) => filter.drawn(points, at, from),
  }
}

function likelihood(question: Question, places: readonly ErrorPlaces[]) {
  const { groups, instruments, original_points } = question
  const moments_h = Float64Array.from(groups.map(group => Math.max(0, group.at_h)))
  const tables = thermalTables(question.temperatures, [...moments_h])
  const seen = Float64Array.from(groups.map(group => group.points))
  const variance = Float64Array.from(
    groups.map(group => instrumentVariance(group, instruments[group.instrument]!)),
  )
  const errors = groups.map(group => places[group.instrument]!)
  const plain = places.every(place => place.bias < 0 && place.gain < 0 && place.drift < 0)
  const log = (points: Float64Array, at: number, end: Wander | null, from: Draw | null): number => {
    const original = original_points + points[at + CURVE.original]!
    const fall = original * attenuationOf(points[at + CURVE.attenuation]!)
    const course = courseOf(points, at)
    const scatter = Math.exp(points[at + CURVE.scatter]!)
    const place = warmthPlace(points[at + CURVE.warmth]!)
    const [low, high] = [tables[place.index]!, tables[place.index + 1]!]
    let total = 0
    // What the curve does not explain wanders about it: filtered along the readings (Kalman 1960), in units of its spread.
    let [wander, unsure, before_h] = [0, 1, Number.NEGATIVE_INFINITY]
    for (let i = 0; i < seen.length; i++) {
      const kept = Math.exp((before_h - moments_h[i]!) / WANDER_h)
      before_h = moments_h[i]!
      wander *= kept
      unsure = 1 - kept * kept * (1 - unsure)
      const tau_h = low[i]! + place.share * (high[i]! - low[i]!)
      const left = leftAt(course, tau_h)
      let expected = original - fall * (1 - left)
      if (!plain) expected += errorOf(points, at, errors[i]!, expected - original, moments_h[i]!)
      const reach = scatter * stirred(left)
      const scale = reach * reach * unsure + variance[i]!
      if (from) seen[i] = expected + reach * wander + Math.sqrt(scale) * studentT(from)
      const off = seen[i]! - expected - reach * wander
      const far = (off * off) / scale
      total -= Math.log(scale) / 2 + ((FREEDOM + 1) / 2) * Math.log1p(far / FREEDOM)
      const gain = ((reach * unsure) / scale) * Math.min(1, (FREEDOM + 1) / (FREEDOM + far))
      wander += gain * off
      unsure *= 1 - gain * reach
    }
    if (end) Object.assign(end, { at_h: Math.max(0, before_h), mean: wander, variance: unsure })
    return Number.isNaN(total) ? Number.NEGATIVE_INFINITY : total
  }
  return {
    log,
    drawn(points: Float64Array, at: number, from: Draw): readonly number[] {
      const kept = seen.slice()
      log(points, at, null, from)
      const made = [...seen]
      seen.set(kept)
      return made
    },
  }
}

function studentT(from: Draw): number {
  let chi = 0
  for (let k = 0; k < FREEDOM; k++) chi += from.normal() ** 2
  return from.normal() / Math.sqrt(chi / FREEDOM)
}

/** How much of the scatter applies when this much is left of the fall. */
export function stirred(left: number): number {
  return Math.sqrt(STILL + (1 - STILL) * 4 * left * (1 - left))
}

/** The wander some hours later: it is forgotten little by little. */
export function wanderLater(wander: Wander, at_h: number): { mean: number; variance: number } {
  const kept = Math.exp(-Math.max(0, at_h - wander.at_h) / WANDER_h)
  return { mean: wander.mean * kept, variance: 1 - kept * kept * (1 - wander.variance) }
}

function errorOf(points: Float64Array, at: number, place: ErrorPlaces, fallen: number, at_h: number): number {
  let error = 0
  if (place.bias >= 0) error += points[at + place.bias]!
  if (place.gain >= 0) error += points[at + place.gain]! * fallen
  if (place.drift >= 0) error += (points[at + place.drift]! * at_h) / 24
  return error
}

export function warmthPlace(warmth: number): { index: number; share: number } {
  const step = WARMTHS[1]! - WARMTHS[0]!
  const at = Math.max(0, Math.min(WARMTHS.length - 1.001, (warmth - WARMTHS[0]!) / step))
  const index = Math.floor(at)
  return { index, share: at - index }
}
