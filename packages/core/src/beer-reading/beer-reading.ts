/**
 * Reading a beer: from gravities and temperatures as they were read to what is known of the beer now and later. The state is
 * plain data; the same readings in the same order and the same seed give the same answer to the bit. Times are hours since
 * pitching, gravities points above 1.000.
 */
import { nearEnd_h, plainCurve, type Quantiles, quantiles } from './curves-of-ensemble.ts'
import { drawEnsemble, type Ensemble, renewEnsemble } from './ensemble.ts'
import { gravityAt, normals } from './forecast.ts'
import { type Gathered, type GravityReading, gatherOne, NOTHING_GATHERED } from './gathered.ts'
import type { InstrumentErrors } from './instrument.ts'
import { type Posterior, posteriorOf } from './posterior.ts'
import type { Prior } from './prior.ts'
import type { KnownTemperature } from './thermal-time.ts'

/** What is known before the first reading, and stays. */
export interface ReadingSetup {
  readonly original_points: number
  /** How well the original gravity is known. */
  readonly original_sd: number
  readonly instruments: readonly InstrumentErrors[]
  readonly prior: Prior
  /** What this beer was expected to end at, to tell stuck from finished. */
  readonly expected: { readonly points: number; readonly sd: number }
  readonly seed: number
  /** Curves in the ensemble. */
  readonly members: number
}

export interface ReadingState {
  readonly gathered: Gathered
  readonly temperatures: readonly KnownTemperature[]
  /** Curves so far, rounded; null before the first reading, and drawn again when missing. */
  readonly ensemble: {
    readonly points: readonly number[]
    readonly logLikelihood: readonly number[]
    readonly logEvidence: number
    /** Groups of readings when it was last drawn from the prior. */
    readonly drawnAt: number
  } | null
}

export interface Outlook {
  readonly now_h: number
  readonly gravity: Quantiles
  /** Fall in points per day, by the curve. */
  readonly fall_per_d: Quantiles
  /** Where it is heading. */
  readonly final: Quantiles
  /** When it is within one point of its end, hours since pitching. */
  readonly nearEnd_h: Quantiles
  /** It will not fall by more than a point any more, and has come about as far as it was expected to. */
  readonly finished: number
  /** It will not fall by more than a point any more, well above what was expected. */
  readonly stuck: number
  /** It still falls, but is heading for an end well above what was expected. */
  readonly slow: number
}

export const NOTHING_READ: ReadingState = {
  gathered: NOTHING_GATHERED,
  temperatures: [],
  ensemble: null,
}

/** Temperatures closer than this are averaged, h. */
const TEMPERATURE_EVERY_h = 1
/** Readings before this are wort that still cools and mixes: taken as at pitching. */
const EARLIEST_h = 0
/** A fall that is over: this much is left, points. */
const OVER_points = 1
/** An end this much above the expected one is stuck, points; common practice, no source. */
const STUCK_points = 4
const RATE_OVER_h = 3
const DIGITS = 6
/** An ensemble that has lived through this many times as many groups of readings is drawn from the prior again. */
const DRAWN_AGAIN = 1.15

export function withTemperature(state: ReadingState, at_h: number, value_C: number): ReadingState {
  const last = state.temperatures.at(-1)
  if (last && at_h < last.at_h) return state
  const open = last && Math.floor(last.at_h / TEMPERATURE_EVERY_h) === Math.floor(at_h / TEMPERATURE_EVERY_h)
  const next = open ? { at_h, value_C: (last.value_C + value_C) / 2 } : { at_h, value_C }
  return { ...state, temperatures: [...(open ? state.temperatures.slice(0, -1) : state.temperatures), next] }
}

export function withReading(setup: ReadingSetup, state: ReadingState, reading: GravityReading): ReadingState {
  const gathered = gatherOne(state.gathered, { ...reading, at_h: Math.max(EARLIEST_h, reading.at_h) })
  const posterior = posteriorFor(setup, gathered, state.temperatures)
  const before = unpacked(state, posterior.size)
  const groups = gathered.groups.length
  const drawnAt = state.ensemble?.drawnAt ?? 0
  if (!before || groups > drawnAt * DRAWN_AGAIN + 1) {
    const drawn = drawEnsemble(posterior, setup.members, setup.seed)
    return { ...state, gathered, ensemble: packed(drawn, groups) }
  }
  const { now, stays } = renewEnsemble(posterior, before, seedFor(setup, gathered))
  return { ...state, gathered, ensemble: stays ? state.ensemble : packed(now, drawnAt) }
}

/** Another seed for each reading, the same for the same record. */
function seedFor(setup: ReadingSetup, gathered: Gathered): number {
  return setup.seed + gathered.groups.reduce((count, each) => count + each.count, 0)
}

/** The same for a whole record at once. */
export function withReadings(
  setup: ReadingSetup,
  state: ReadingState,
  readings: readonly GravityReading[],
): ReadingState {
  const gathered = readings.reduce(gatherOne, state.gathered)
  const posterior = posteriorFor(setup, gathered, state.temperatures)
  const ensemble = drawEnsemble(posterior, setup.members, setup.seed)
  return { ...state, gathered, ensemble: packed(ensemble, gathered.groups.length) }
}

function posteriorFor(
  setup: ReadingSetup,
  gathered: Gathered,
  temperatures: readonly KnownTemperature[],
): Posterior {
  const { prior, original_points, original_sd, instruments } = setup
  return posteriorOf({
    prior,
    original_points,
    original_sd,
    instruments,
    groups: gathered.groups,
    temperatures,
  })
}

function packed(ensemble: Ensemble, drawnAt: number): NonNullable<ReadingState['ensemble']> {
  const rounded = (values: Float64Array) => Array.from(values, value => Number(value.toPrecision(DIGITS)))
  return {
    points: rounded(ensemble.points),
    logLikelihood: rounded(ensemble.logLikelihood),
    logEvidence: ensemble.logEvidence,
    drawnAt,
  }
}

function unpacked(state: ReadingState, size: number): Ensemble | null {
  const kept = state.ensemble
  if (!kept || kept.points.length !== size * kept.logLikelihood.length) return null
  return {
    size,
    count: kept.logLikelihood.length,
    points: Float64Array.from(kept.points),
    logLikelihood: Float64Array.from(kept.logLikelihood),
    logEvidence: kept.logEvidence,
  }
}

/** The posterior and its ensemble, drawn when the state has none. */
export function read(setup: ReadingSetup, state: ReadingState): { posterior: Posterior; ensemble: Ensemble } {
  const posterior = posteriorFor(setup, state.gathered, state.temperatures)
  const kept = unpacked(state, posterior.size)
  const ensemble = kept
    ? renewEnsemble(posterior, kept, seedFor(setup, state.gathered)).now
    : drawEnsemble(posterior, setup.members, setup.seed)
  return { posterior, ensemble }
}

/** What is known of the beer at a moment at or after the last reading. */
export function outlook(setup: ReadingSetup, state: ReadingState, now_h: number): Outlook {
  const { posterior, ensemble } = read(setup, state)
  const { original_points, seed } = setup
  const at = (at_h: number) => gravityAt(posterior, ensemble, original_points, state.temperatures, at_h, seed)
  const now = at(now_h)
  const before = at(Math.max(0, now_h - RATE_OVER_h))
  const hours = Math.min(now_h, RATE_OVER_h) || 1
  const final = new Float64Array(ensemble.count)
  const expected = normals(ensemble.count, seed + 1).map(z => setup.expected.points + setup.expected.sd * z)
  let [finished, stuck, slow] = [0, 0, 0]
  for (let n = 0; n < ensemble.count; n++) {
    final[n] = plainCurve(ensemble.points, n * ensemble.size, original_points).final
    const over = now.curve[n]! - final[n]! < OVER_points
    const high = final[n]! > expected[n]! + STUCK_points
    if (over && high) stuck++
    else if (over) finished++
    else if (high) slow++
  }
  const { count } = ensemble
  return {
    now_h,
    gravity: quantiles(now.gravity),
    fall_per_d: quantiles(before.curve.map((value, n) => ((value - now.curve[n]!) / hours) * 24)),
    final: quantiles(final),
    nearEnd_h: quantiles(nearEnd_h(ensemble, original_points, state.temperatures, now_h, OVER_points)),
    finished: finished / count,
    stuck: stuck / count,
    slow: slow / count,
  }
}

/** What an instrument would show at a moment, errors of its own included. */
export function readingAt(
  setup: ReadingSetup,
  state: ReadingState,
  at_h: number,
  instrument: number,
): { gravity: Quantiles; reading: Quantiles } {
  const { posterior, ensemble } = read(setup, state)
  const draws = gravityAt(posterior, ensemble, setup.original_points, state.temperatures, at_h, setup.seed)
  const errors = setup.instruments[instrument]!
  const noise = Math.hypot(errors.noise_points, errors.resolution_points / Math.sqrt(12))
  const chance = normals(ensemble.count, setup.seed + 2)
  return {
    gravity: quantiles(draws.gravity),
    reading: quantiles(draws.gravity.map((value, n) => value + noise * chance[n]!)),
  }
}
