import type { ReadingInput } from '@attemper/core/engine/contract.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { UsageError } from '../exit-status.ts'
import type { CsvTable } from './csv-table.ts'
import { LineNotes } from './line-notes.ts'
import type { Mapping } from './mapping.ts'
import { countsFromPitching, onClock } from './reading-time.ts'
import { tableReadings } from './table-readings.ts'

/** A record made ready for a replay. Times are seconds on the vessel's own clock. */
export interface RecordedReadings {
  readonly start_s: number
  /** In order of time; of two readings of one channel at the same second, only the later line's. */
  readonly readings: readonly ReadingInput[]
  /** What had to be put right or left out, each one sentence with line numbers. */
  readonly notes: readonly string[]
}

/**
 * Turns the rows of a table into readings for the vessel's channels. `wishedStart_s`: the start of the batch; left out,
 * moments start the batch with the first of them, and times since pitching with `usualStart_s`.
 */
export function recordedReadings(
  table: CsvTable,
  mapping: Mapping,
  vessel: Vessel,
  usualStart_s: number,
  wishedStart_s?: number,
): RecordedReadings {
  const notes = new LineNotes()
  const timed = tableReadings(table, mapping, vessel, notes).readings.map(({ time, ...reading }) => ({
    ...reading,
    time_s: Math.round(onClock(time, mapping.utcOffset_s ?? 0)),
  }))
  let latest_s = Number.NEGATIVE_INFINITY
  for (const { line, time_s } of timed) {
    if (time_s < latest_s) notes.add('is earlier than a line above it; the readings were put in order', line)
    latest_s = Math.max(latest_s, time_s)
  }

  timed.sort((one, other) => one.time_s - other.time_s || one.line - other.line)
  const relative = countsFromPitching(mapping.time.unit)
  const start_s = wishedStart_s ?? (relative ? usualStart_s : timed[0]!.time_s)
  const byMoment = new Map<string, ReadingInput>()
  for (const { line, time_s, channel, value } of timed) {
    const at_s = relative ? start_s + time_s : time_s
    if (at_s < start_s) {
      notes.add('lies before the start of the batch, and is left out', line)
      continue
    }
    const key = `${at_s}/${channel}`
    if (byMoment.has(key))
      notes.add('repeats a time; of readings at the same second the last one counts', line)
    byMoment.set(key, { channel, value, at_s })
  }
  if (byMoment.size === 0)
    throw new UsageError('All readings of the record lie before the start of the batch.')
  return { start_s, readings: [...byMoment.values()], notes: notes.list() }
}
