/**
 * Finished and stuck as tests: how often each is said wrongly, missed, and how late, on simulated batches, beside the common
 * rule 'unchanged for 48 h'. A batch is followed until something is said or five days after its end.
 */
import {
  NOTHING_READ,
  outlook,
  type ReadingSetup,
  type ReadingState,
  readingAt,
  withReadings,
} from '@attemper/core/beer-reading/beer-reading.ts'
import { readLearned } from '@attemper/core/beer-reading/learned.ts'
import { LEARNED_BATCHES } from '@attemper/core/beer-reading/learned-batches.ts'
import { pool, priorFrom } from '@attemper/core/beer-reading/pool.ts'
import { median } from '../timing.ts'
import { FLOAT, type SimulatedBatch, simulateBatch } from './simulated-batches.ts'

type Verdict = 'finished' | 'stuck'

interface Said {
  readonly verdict: Verdict | null
  readonly at_h: number
}

export interface EndedRates {
  readonly batches: number
  readonly stuck_batches: number
  /** Said while more than two points were still to fall, or of the other kind: shares of all batches. */
  readonly too_early: number
  readonly wrong_kind: number
  /** Said nothing within five days of the end. */
  readonly missed: number
  readonly delay_h: number
  /** The delay that nine of ten stay below. */
  readonly delay90_h: number
}

export interface EndedResult {
  readonly estimator: EndedRates
  readonly unchanged48h: EndedRates
  /** Forecasts on the way: how often the 90 % interval holds the gravity of days later, and that of now. */
  readonly coverage: {
    readonly sound: readonly Coverage[]
    /** That a batch will stop early can not be foreseen while it ferments as any other. */
    readonly stuck: readonly Coverage[]
  }
}

export interface Coverage {
  readonly share: number
  readonly batches: number
  readonly later90: number
  readonly now90: number
}

/** What has to be this sure before it is said. */
export const SURE = 0.9
const EVERY_h = 12
const FIRST_h = 36
const AFTER_END_h = 120
const MEMBERS = 200
const EARLY_points = 2
const STUCK_points = 4
/** Forecasts are made for this many of the batches. */
const MOST_COVERED = 150
const SHARES = [0.25, 0.5, 0.75]
const prior = priorFrom(pool(readLearned(LEARNED_BATCHES)))

/** What came of one simulated batch: what was said and when, and what was forecast on the way. */
export interface Outcome {
  readonly stuck: boolean
  readonly estimator: Judged
  readonly unchanged48h: Judged
  /** For each share of the fall; null where no forecasts were made. */
  readonly held: readonly { readonly later90: boolean; readonly now90: boolean }[] | null
}

type Judged =
  | { readonly kind: 'right'; readonly delay_h: number }
  | { readonly kind: 'early' | 'wrong' | 'missed' }

export function outcomeOf(number: number, seed: number): Outcome {
  const batch = simulateBatch(seed, number)
  return {
    stuck: batch.stuck,
    estimator: judged(batch, byEstimator(batch)),
    unchanged48h: judged(batch, byRule(batch)),
    held: number < MOST_COVERED ? SHARES.map(share => heldAt(batch, share)) : null,
  }
}

export function ratesOf(outcomes: readonly Outcome[]): EndedResult {
  const coverageOf = (stuck: boolean) => SHARES.map((share, index) => coverage(outcomes, stuck, share, index))
  return {
    estimator: rates(outcomes, outcome => outcome.estimator),
    unchanged48h: rates(outcomes, outcome => outcome.unchanged48h),
    coverage: { sound: coverageOf(false), stuck: coverageOf(true) },
  }
}

function setupOf(batch: SimulatedBatch): ReadingSetup {
  return {
    original_points: batch.original_points,
    original_sd: 1,
    instruments: [FLOAT],
    prior,
    expected: batch.expected,
    seed: 1,
    members: MEMBERS,
  }
}

function stateAt(batch: SimulatedBatch, setup: ReadingSetup, now_h: number): ReadingState {
  const temperatures = batch.temperatures.slice(0, now_h + 1)
  return withReadings(setup, { ...NOTHING_READ, temperatures }, batch.readings.slice(0, now_h + 1))
}

/** First hour within a point of the end. */
export function endOf_h(batch: SimulatedBatch): number {
  return batch.truth.findIndex(points => points < batch.truth.at(-1)! + 1)
}

function follow(batch: SimulatedBatch, judge: (now_h: number) => Verdict | null): Said {
  const until_h = Math.min(batch.truth.length - 1, endOf_h(batch) + AFTER_END_h)
  for (let now_h = FIRST_h; now_h <= until_h; now_h += EVERY_h) {
    const verdict = judge(now_h)
    if (verdict) return { verdict, at_h: now_h }
  }
  return { verdict: null, at_h: until_h }
}

function byEstimator(batch: SimulatedBatch): Said {
  const setup = setupOf(batch)
  return follow(batch, now_h => {
    // While the float has fallen by more than three points in half a day, there is nothing to judge.
    if (fallOver(batch, now_h, EVERY_h) > 3) return null
    const { finished, stuck } = outlook(setup, stateAt(batch, setup, now_h), now_h)
    if (finished + stuck < SURE) return null
    return stuck > finished ? 'stuck' : 'finished'
  })
}

/** 'Unchanged for 48 h': medians of six hours differ by less than a point, after a fall of more than five. */
function byRule(batch: SimulatedBatch): Said {
  return follow(batch, now_h => {
    const low = smooth(batch, now_h)
    if (now_h < 54 || low > batch.original_points - 5 || fallOver(batch, now_h, 48) > 1) return null
    return low > batch.expected.points + STUCK_points ? 'stuck' : 'finished'
  })
}

const smooth = (batch: SimulatedBatch, now_h: number) =>
  median(batch.readings.slice(Math.max(0, now_h - 5), now_h + 1).map(each => each.points))

const fallOver = (batch: SimulatedBatch, now_h: number, hours: number) =>
  smooth(batch, now_h - hours) - smooth(batch, now_h)

function judged(batch: SimulatedBatch, { verdict, at_h }: Said): Judged {
  if (verdict === null) return { kind: 'missed' }
  if (batch.truth[at_h]! > batch.truth.at(-1)! + EARLY_points) return { kind: 'early' }
  if ((verdict === 'stuck') !== batch.stuck) return { kind: 'wrong' }
  return { kind: 'right', delay_h: at_h - endOf_h(batch) }
}

function rates(outcomes: readonly Outcome[], of: (outcome: Outcome) => Judged): EndedRates {
  const all = outcomes.map(of)
  const share = (kind: Judged['kind']) => all.filter(each => each.kind === kind).length / all.length
  const delays = all.flatMap(each => (each.kind === 'right' ? [each.delay_h] : [])).toSorted((a, b) => a - b)
  return {
    batches: all.length,
    stuck_batches: outcomes.filter(outcome => outcome.stuck).length,
    too_early: share('early'),
    wrong_kind: share('wrong'),
    missed: share('missed'),
    delay_h: median(delays),
    delay90_h: delays[Math.floor(0.9 * delays.length)] ?? Number.NaN,
  }
}

function heldAt(batch: SimulatedBatch, share: number) {
  const end = batch.truth.at(-1)!
  const now_h = batch.truth.findIndex(points => points <= batch.truth[0]! - share * (batch.truth[0]! - end))
  const setup = setupOf(batch)
  const state = stateAt(batch, setup, now_h)
  const later_h = Math.min(batch.truth.length - 1, 3 * now_h + 100)
  const holds = (at_h: number) => {
    const { gravity } = readingAt(setup, state, at_h, 0)
    return gravity.p5 <= batch.truth[at_h]! && batch.truth[at_h]! <= gravity.p95
  }
  return { later90: holds(later_h), now90: holds(now_h) }
}

function coverage(outcomes: readonly Outcome[], stuck: boolean, share: number, index: number): Coverage {
  const held = outcomes.flatMap(each => (each.stuck === stuck && each.held ? [each.held[index]!] : []))
  return {
    share,
    batches: held.length,
    later90: held.filter(each => each.later90).length / held.length,
    now90: held.filter(each => each.now90).length / held.length,
  }
}
