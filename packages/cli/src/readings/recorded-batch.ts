/**
 * A recorded fermentation from a CSV file: columns `time_h`, `gravity`, and where there are any `temperature_C`,
 * `expected_gravity` and `note`, in any order among others. Lines that begin with # are comments. What comes after the beer was
 * moved to the cold is no longer its fermentation.
 */
import type { WholeBatch } from '@attemper/core/beer-reading/fit-batch.ts'
import { middle } from '@attemper/core/beer-reading/gathered.ts'
import { errorsFromSteps } from '@attemper/core/beer-reading/instrument.ts'
import { parse } from 'csv-parse/sync'

export interface TimedValue {
  readonly at_h: number
  readonly value: number
}

export interface RecordedBatch {
  /** The file's name without its ending. */
  readonly name: string
  /** The name without its last letter: what yeast and wort it is. */
  readonly yeast: string
  readonly gravity: readonly TimedValue[]
  readonly temperature_C: readonly TimedValue[]
  /** What the brewer expected as final gravity, where the record says so. */
  readonly expectedGravity: number | null
}

const MOVED = /moved to the cold/i
/** A beer that cools by this much below the warmest so far and stays there was chilled: its fermentation was ended, K. */
const CHILLED_K = 8
/** Below this a gravity is a slip of the pen, or in another unit. */
const LOWEST_GRAVITY = 0.97
const HIGHEST_GRAVITY = 1.25

export function yeastOf(name: string): string {
  return name.replace(/-[a-z]$/i, '')
}

/** The record in a text, or why it is none. */
export function readRecord(name: string, text: string): RecordedBatch | string {
  const rows: Record<string, string>[] = parse(text, {
    columns: (header: string[]) => header.map(cell => cell.trim()),
    comment: '#',
    comment_no_infix: true,
    bom: true,
    trim: true,
    skip_empty_lines: true,
    relax_column_count: true,
    relax_quotes: true,
  })
  const first = rows[0]
  if (!first) return 'no lines below the header'
  for (const column of ['time_h', 'gravity']) {
    if (!(column in first)) return `no column ${column}: not a record of a fermentation`
  }
  const kept = beforeTheCold(rows)
  const gravity = column(kept, 'gravity').filter(
    ({ value }) => value > LOWEST_GRAVITY && value < HIGHEST_GRAVITY,
  )
  if (gravity.length === 0) return 'no gravity that could be read'
  const temperature_C = column(kept, 'temperature_C').filter(({ value }) => value > -10 && value < 60)
  return {
    name,
    yeast: yeastOf(name),
    gravity: beforeChilling(gravity, temperature_C),
    temperature_C,
    expectedGravity: column(kept, 'expected_gravity')[0]?.value ?? null,
  }
}

function beforeTheCold(rows: readonly Record<string, string>[]): readonly Record<string, string>[] {
  const moved = rows.findIndex(row => MOVED.test(row.note ?? ''))
  return moved < 0 ? rows : rows.slice(0, moved)
}

function column(rows: readonly Record<string, string>[], name: string): readonly TimedValue[] {
  const values = rows.flatMap(row => {
    const cell = row[name]
    if (!cell || !row.time_h) return []
    const [at_h, value] = [Number(row.time_h), Number(cell)]
    return Number.isFinite(at_h) && Number.isFinite(value) && at_h >= 0 ? [{ at_h, value }] : []
  })
  return values.sort((a, b) => a.at_h - b.at_h)
}

/** The readings until the beer was chilled for good, for records that show it only in the temperature. */
function beforeChilling(gravity: readonly TimedValue[], temperature_C: readonly TimedValue[]) {
  let end = temperature_C.length
  const warmest: number[] = []
  for (const { value } of temperature_C) warmest.push(Math.max(value, warmest.at(-1) ?? value))
  while (end > 0 && temperature_C[end - 1]!.value < warmest[end - 1]! - CHILLED_K) end--
  const last = temperature_C[end]
  if (!last) return gravity
  return gravity.filter(({ at_h }) => at_h < last.at_h)
}

/** More readings than this are those of an instrument that reports by itself. */
export const DENSE = 80
const ORIGINAL_WITHIN_h = 4
/** How well an original gravity is known that was read, not computed, points. */
export const ORIGINAL_SD_points = 1

/** What rises after the lowest reading is souring and drying out, no longer the fermentation. */
export function untilLowest(readings: readonly TimedValue[]): readonly TimedValue[] {
  const lowest = Math.min(...readings.map(each => each.value))
  return readings.slice(0, readings.findLastIndex(each => each.value === lowest) + 1)
}

/** The first gravity; where readings are dense, that of the first hours, so that one noisy reading decides nothing. */
export function originalOf(readings: readonly TimedValue[]): number {
  if (readings.length <= DENSE) return readings[0]!.value
  const first = readings.filter(each => each.at_h <= readings[0]!.at_h + ORIGINAL_WITHIN_h)
  return middle(first.map(each => each.value))
}

export const pointsOf = (gravity: number) => (gravity - 1) * 1000

export function gravityReadings(readings: readonly TimedValue[]) {
  return readings.map(({ at_h, value }) => ({ instrument: 0, at_h, points: pointsOf(value) }))
}

export function knownTemperatures(temperatures: readonly TimedValue[]) {
  return temperatures.map(({ at_h, value }) => ({ at_h, value_C: value }))
}

export function wholeBatch(record: RecordedBatch): WholeBatch {
  const kept = record.gravity.length > DENSE ? record.gravity : untilLowest(record.gravity)
  const readings = gravityReadings(kept)
  const end_h = kept.at(-1)!.at_h
  return {
    name: record.name,
    yeast: record.yeast,
    original_points: pointsOf(originalOf(kept)),
    original_sd: ORIGINAL_SD_points,
    instruments: [errorsFromSteps(readings.map(each => each.points))],
    readings,
    temperatures: knownTemperatures(record.temperature_C.filter(each => each.at_h <= end_h)),
  }
}
