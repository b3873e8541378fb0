import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { UsageError } from '../exit-status.ts'
import type { CsvTable } from './csv-table.ts'
import { LineNotes } from './line-notes.ts'
import type { Mapping } from './mapping.ts'
import { countsFromPitching, readWrittenTime, type WrittenTime } from './reading-time.ts'
import { tableReadings } from './table-readings.ts'

/** A reading of a log, by the names of the vessel file; the line is that of the log. */
export interface PastReading {
  readonly line: number
  readonly instrument: string
  readonly quantity: string
  /** Milliseconds since 1970-01-01T00:00 UTC. */
  readonly at_ms: number
  readonly value: number
}

/** A log made ready for the records. */
export interface PastRecord {
  /** In order of time; of two readings of one instrument at the same moment, only the later line's. */
  readonly readings: readonly PastReading[]
  /** What was assumed, put right or left out, each one sentence. */
  readonly notes: readonly string[]
  /** How many lines could not be read, or not all of them. */
  readonly unread: number
}

/**
 * Turns the rows of a table into readings at moments. Where the times name no zone, and nobody has said what their clock
 * was ahead of UTC, they are taken as local times of this machine. `start`: when the times count from, needed for those
 * that count from pitching.
 */
export function pastReadings(table: CsvTable, mapping: Mapping, vessel: Vessel, start?: string): PastRecord {
  const notes = new LineNotes()
  const clock = new NamelessClock(mapping.utcOffset_s)
  const start_ms = startOf(mapping, start, clock)
  const channels = listChannels(vessel)
  const { readings, unread } = tableReadings(table, mapping, vessel, notes)
  const byMoment = new Map<string, PastReading>()
  for (const { line, time, channel, value } of readings) {
    const at_ms = Math.round(start_ms + clock.utc_ms(time))
    const key = `${at_ms}/${channel}`
    if (byMoment.has(key))
      notes.add('repeats a time; of readings at the same moment the last one counts', line)
    const { instrument, channel: measured } = channels[channel]!
    byMoment.set(key, { line, instrument: instrument.name, quantity: measured.quantity, at_ms, value })
  }
  return {
    readings: [...byMoment.values()].sort((one, other) => one.at_ms - other.at_ms || one.line - other.line),
    notes: [...clock.notes, ...notes.list()],
    unread,
  }
}

/** When the times of the log count from, in ms; 0 for moments, which count from 1970. */
function startOf(mapping: Mapping, start: string | undefined, clock: NamelessClock): number {
  const { unit, column } = mapping.time
  if (!countsFromPitching(unit)) {
    if (start === undefined) return 0
    throw new UsageError(`--start is for times that count from pitching; column ${column} holds moments.`)
  }
  if (start === undefined) {
    throw new UsageError(
      `The times in column ${column} count from pitching (${unit}): say with --start when that was, such as 2026-03-04T18:00.`,
    )
  }
  const written = readWrittenTime(start, 'iso')
  if (written !== null) return clock.utc_ms(written)
  throw new UsageError(
    `--start should read like 2026-03-04T18:00 or 2026-03-04T18:00+01:00, but is "${start}".`,
  )
}

/** The clock of which the log does not say where it stood. */
class NamelessClock {
  readonly #utcOffset_s: number | null
  #isAssumed = false

  constructor(utcOffset_s: number | null) {
    this.#utcOffset_s = utcOffset_s
  }

  /** What had to be assumed about it. */
  get notes(): readonly string[] {
    if (!this.#isAssumed) return []
    const { timeZone } = new Intl.DateTimeFormat().resolvedOptions()
    return [
      `Its times name no zone: they are taken as local times of this machine (${timeZone}). --utc-offset says otherwise.`,
    ]
  }

  /** Milliseconds since 1970 UTC, or since pitching. */
  utc_ms({ time_s, since }: WrittenTime): number {
    if (since !== 'local') return time_s * 1000
    if (this.#utcOffset_s !== null) return (time_s - this.#utcOffset_s) * 1000
    this.#isAssumed = true
    return ofThisMachine_ms(time_s * 1000)
  }
}

/** Summer time is that of the day of the reading. */
function ofThisMachine_ms(local_ms: number): number {
  const clock = new Date(local_ms)
  return new Date(
    clock.getUTCFullYear(),
    clock.getUTCMonth(),
    clock.getUTCDate(),
    clock.getUTCHours(),
    clock.getUTCMinutes(),
    clock.getUTCSeconds(),
    clock.getUTCMilliseconds(),
  ).getTime()
}
