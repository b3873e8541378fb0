import type { ReadingInput } from '@attemper/core/engine/contract.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { UsageError } from '../exit-status.ts'
import type { CsvTable } from './csv-table.ts'
import type { MappedColumn, Mapping } from './mapping.ts'
import { countsFromPitching, numberOf, readTime } from './reading-time.ts'

/** A record made ready for a replay. Times are seconds on the vessel's own clock. */
export interface RecordedReadings {
  readonly start_s: number
  /** In order of time; of two readings of one channel at the same second, only the later line's. */
  readonly readings: readonly ReadingInput[]
  /** What had to be put right or left out, each one sentence with line numbers. */
  readonly notes: readonly string[]
}

/** The cells that loggers write for "no reading". */
const BLANK = new Set(['', '-', '--', 'na', 'n/a', 'nan', 'null', 'none', 'nil'])

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
  const columns = mapping.columns.flatMap(column => {
    const channel = channelFor(column, mapping.instrument, vessel)
    if (channel !== null) return [{ ...column, channel, index: table.header.indexOf(column.column) }]
    notes.say(`The vessel does not measure ${column.quantity}, so that column ${column.column} is left out.`)
    return []
  })
  if (columns.length === 0) {
    throw new UsageError(
      'The vessel measures none of the quantities in the record, so there is nothing to replay.',
    )
  }

  const timeIndex = table.header.indexOf(mapping.time.column)
  const timed: { line: number; time_s: number; channel: number; value: number }[] = []
  let latest_s = Number.NEGATIVE_INFINITY
  for (const { line, cells } of table.rows) {
    const text = cells[timeIndex] ?? ''
    const time_s = readTime(text, mapping.time.unit, mapping.utcOffset_s)
    if (time_s === null || !Number.isFinite(time_s)) {
      notes.add(`has no time that can be read as ${mapping.time.unit}, and is left out`, line)
      continue
    }
    if (time_s < latest_s) notes.add('is earlier than a line above it; the readings were put in order', line)
    latest_s = Math.max(latest_s, time_s)
    for (const column of columns) {
      const cell = cells[column.index] ?? ''
      if (BLANK.has(cell.trim().toLowerCase())) continue
      const value = numberOf(cell)
      if (value === null) notes.add(`has no number in column ${column.column}`, line)
      else timed.push({ line, time_s, channel: column.channel, value: column.unit.of(value) })
    }
  }
  if (timed.length === 0) throw new UsageError('The record holds no reading that can be replayed.')

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

function channelFor(column: MappedColumn, preferred: string | undefined, vessel: Vessel): number | null {
  const channels = listChannels(vessel).filter(each => each.channel.quantity === column.quantity)
  const named = (name: string | undefined) => channels.find(each => each.instrument.name === name)
  const found =
    named(column.instrument) ??
    (column.instrument === undefined
      ? (named(preferred) ?? named(vessel.trust[column.quantity]?.[0]))
      : undefined)
  if (found !== undefined) return found.number
  if (column.instrument === undefined || channels.length === 0) return channels[0]?.number ?? null
  const names = channels.map(each => each.instrument.name).join(', ')
  throw new UsageError(
    `The vessel has no instrument ${column.instrument} for ${column.quantity}; it has ${names}.`,
  )
}

/** Collects the lines that share a fault, so that a long record does not flood the terminal. */
class LineNotes {
  readonly #sentences: string[] = []
  readonly #lines = new Map<string, Set<number>>()

  say(sentence: string): void {
    this.#sentences.push(sentence)
  }

  add(fault: string, line: number): void {
    const lines = this.#lines.get(fault) ?? new Set()
    this.#lines.set(fault, lines.add(line))
  }

  list(): string[] {
    const faults = [...this.#lines].map(([fault, lines]) => {
      const all = [...lines].sort((one, other) => one - other)
      const shown = all.slice(0, SHOWN_LINES).join(', ')
      const more = all.length > SHOWN_LINES ? ` and ${all.length - SHOWN_LINES} more` : ''
      return all.length === 1 ? `Line ${shown} ${fault}.` : `Each of lines ${shown}${more} ${fault}.`
    })
    return [...this.#sentences, ...faults]
  }
}

const SHOWN_LINES = 8
