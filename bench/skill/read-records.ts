/**
 * Recorded fermentations from folders of CSV files: columns `time_h`, `gravity`, and where there are any `temperature_C`,
 * `expected_gravity` and `note`, in any order among others. Lines that begin with # are comments. A file that is not such a
 * record is named with the reason, and the others are read all the same.
 */
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { basename, join } from 'node:path'
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

export interface LeftOut {
  readonly file: string
  readonly why: string
}

export interface Records {
  readonly batches: readonly RecordedBatch[]
  readonly leftOut: readonly LeftOut[]
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

export function readRecords(folders: readonly string[]): Records {
  const batches: RecordedBatch[] = []
  const leftOut: LeftOut[] = []
  for (const folder of folders) {
    for (const file of csvFiles(folder, leftOut)) {
      try {
        const batch = readRecord(basename(file).replace(/\.csv$/i, ''), readFileSync(file, 'utf8'))
        if (typeof batch === 'string') leftOut.push({ file, why: batch })
        else batches.push(batch)
      } catch (error) {
        leftOut.push({ file, why: error instanceof Error ? error.message : `${error}` })
      }
    }
  }
  return { batches, leftOut }
}

function csvFiles(folder: string, leftOut: LeftOut[]): readonly string[] {
  try {
    if (statSync(folder).isFile()) return [folder]
    return readdirSync(folder)
      .filter(name => /\.csv$/i.test(name))
      .sort()
      .map(name => join(folder, name))
  } catch (error) {
    leftOut.push({ file: folder, why: error instanceof Error ? error.message : `${error}` })
    return []
  }
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
