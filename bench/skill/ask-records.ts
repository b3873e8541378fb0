/**
 * Asks the estimator about each record. What is known of yeasts comes from the records of the project; of a record that is
 * among them it knows nothing, and nothing of the other batches of its yeast either, unless earlier batches are handed in:
 * then of those, and the yeast is known by its name.
 */
import {
  NOTHING_READ,
  outlook,
  type ReadingSetup,
  type ReadingState,
  readingAt,
  withReadings,
} from '@attemper/core/beer-reading/beer-reading.ts'
import type { Quantiles } from '@attemper/core/beer-reading/curves-of-ensemble.ts'
import { fitBatch } from '@attemper/core/beer-reading/fit-batch.ts'
import { errorsFromSteps } from '@attemper/core/beer-reading/instrument.ts'
import { type LearnedBatch, printOf, readLearned } from '@attemper/core/beer-reading/learned.ts'
import { LEARNED_BATCHES } from '@attemper/core/beer-reading/learned-batches.ts'
import { pool, priorFrom } from '@attemper/core/beer-reading/pool.ts'
import type { Prior } from '@attemper/core/beer-reading/prior.ts'
import {
  gravityReadings,
  knownTemperatures,
  ORIGINAL_SD_points,
  pointsOf,
  type RecordedBatch,
  wholeBatch,
} from '../../packages/cli/src/readings/recorded-batch.ts'
import { baselines } from './baselines.ts'
import { type Question, questionsOf } from './question.ts'
import type { LeftOut } from './read-records.ts'
import type { SkillPoint } from './table.ts'

const MEMBERS = 1000
const HISTORY_MEMBERS = 1000
const SEED = 1
const learned = readLearned(LEARNED_BATCHES)

export interface Asked {
  readonly points: readonly SkillPoint[]
  readonly leftOut: readonly LeftOut[]
}

export function askRecords(
  batches: readonly RecordedBatch[],
  history: readonly RecordedBatch[] | null,
): Asked {
  const earlier = history?.filter(batch => batch.gravity.length >= 3).map(fitted)
  const points: SkillPoint[] = []
  const leftOut: LeftOut[] = []
  for (const record of batches) {
    const questions = questionsOf(record)
    if (typeof questions === 'string') {
      leftOut.push({ file: record.name, why: questions })
      continue
    }
    const prior = priorFor(record, earlier ?? null)
    for (const question of questions) points.push(askOne(question, prior))
  }
  return { points, leftOut }
}

const printOfRecord = (record: RecordedBatch) => printOf(wholeBatch(record).readings.map(each => each.points))

/** A record that was learned from is not fitted again. */
function fitted(record: RecordedBatch): LearnedBatch {
  const print = printOfRecord(record)
  const known = learned.find(each => each.print === print)
  return known
    ? { ...known, name: record.name, yeast: record.yeast }
    : fitBatch(wholeBatch(record), HISTORY_MEMBERS, SEED)
}

function priorFor(record: RecordedBatch, earlier: readonly LearnedBatch[] | null): Prior {
  const print = printOfRecord(record)
  const self = (each: LearnedBatch) => each.print === print || each.name === record.name
  const known = learned.some(self)
  if (!earlier) return priorFrom(pool(learned.filter(each => !known || each.yeast !== record.yeast)))
  const prints = new Set(earlier.map(each => each.print))
  const others = learned.filter(each => !prints.has(each.print) && !(known && each.yeast === record.yeast))
  return priorFrom(pool([...others, ...earlier.filter(each => !self(each))]), record.yeast)
}

function askOne(question: Question, prior: Prior): SkillPoint {
  const readings = gravityReadings(question.shown)
  const original_points = pointsOf(question.original)
  const setup: ReadingSetup = {
    original_points,
    original_sd: ORIGINAL_SD_points,
    instruments: [errorsFromSteps(readings.map(each => each.points))],
    prior,
    expected: { points: original_points / 4, sd: 4 },
    seed: SEED,
    members: MEMBERS,
  }
  const begin: ReadingState = {
    ...NOTHING_READ,
    temperatures: knownTemperatures(question.shownTemperature_C),
  }
  const state = withReadings(setup, begin, readings)
  const { gravity, reading } = readingAt(setup, state, question.last.at_h, 0)
  const { final, nearEnd_h } = outlook(setup, state, question.now_h)
  const last = pointsOf(question.last.value)
  const near_h = question.nearEnd_h
  return {
    record: question.record.name,
    share: question.share,
    now_h: question.now_h,
    readings: readings.length,
    last_gravity: question.last.value,
    error_points: gravity.p50 - last,
    asymptote_error_points: final.p50 - last,
    baselines: baselines(question),
    in50: within(last, reading.p25, reading.p75),
    in90: within(last, reading.p5, reading.p95),
    width90_points: reading.p95 - reading.p5,
    time_error_h: near_h === null ? null : nearEnd_h.p50 - near_h,
    time_in90: near_h === null ? null : holds90(near_h, nearEnd_h),
  }
}

const within = (value: number, low: number, high: number) => low <= value && value <= high
const holds90 = (value: number, { p5, p95 }: Quantiles) => within(value, p5, p95)
