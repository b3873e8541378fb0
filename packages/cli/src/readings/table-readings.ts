import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { UsageError } from '../exit-status.ts'
import type { CsvTable } from './csv-table.ts'
import type { LineNotes } from './line-notes.ts'
import type { MappedColumn, Mapping } from './mapping.ts'
import { numberOf, readWrittenTime, type WrittenTime } from './reading-time.ts'

/** A number of a record: for which channel of the vessel, in the quantity's own unit. */
export interface TableReading {
  readonly line: number
  readonly time: WrittenTime
  readonly channel: number
  readonly value: number
}

/** The cells that loggers write for "no reading". */
const BLANK = new Set(['', '-', '--', 'na', 'n/a', 'nan', 'null', 'none', 'nil'])

/** All that a table says about the vessel, in the order of its lines. `unread`: lines of which a part can not be read. */
export function tableReadings(
  table: CsvTable,
  mapping: Mapping,
  vessel: Vessel,
  notes: LineNotes,
): { readonly readings: readonly TableReading[]; readonly unread: number } {
  if (mapping.instrument !== undefined) requireInstrument(mapping.instrument, vessel)
  const columns = mapping.columns.flatMap(column => {
    const channel = channelFor(column, mapping.instrument, vessel)
    if (channel !== null) return [{ ...column, channel, index: table.header.indexOf(column.column) }]
    notes.say(`The vessel does not measure ${column.quantity}, so that column ${column.column} is left out.`)
    return []
  })
  if (columns.length === 0) {
    const quantities = mapping.columns.map(({ quantity }) => quantity).join(' and ')
    throw new UsageError(
      `The vessel does not measure ${quantities}, and nothing else was found in the record.`,
    )
  }

  const timeIndex = table.header.indexOf(mapping.time.column)
  const readings: TableReading[] = []
  const unread = new Set<number>()
  const leaveOut = (fault: string, line: number) => {
    notes.add(fault, line)
    unread.add(line)
  }
  for (const { line, cells } of table.rows) {
    const time = readWrittenTime(cells[timeIndex] ?? '', mapping.time.unit)
    if (time === null || !Number.isFinite(time.time_s)) {
      leaveOut(`has no time that can be read as ${mapping.time.unit}, and is left out`, line)
      continue
    }
    for (const column of columns) {
      const cell = cells[column.index] ?? ''
      if (BLANK.has(cell.trim().toLowerCase())) continue
      const number = numberOf(cell)
      const value = number === null ? Number.NaN : column.unit.of(number)
      if (!Number.isFinite(value)) leaveOut(`has no number in column ${column.column}`, line)
      else readings.push({ line, time, channel: column.channel, value })
    }
  }
  if (readings.length === 0) {
    const why = ['There is no reading in the record that can be understood.', ...notes.list()].join(' ')
    throw new UsageError(`${why} --time-unit says how times are written.`)
  }
  return { readings, unread: unread.size }
}

function requireInstrument(name: string, { instruments }: Vessel): void {
  if (instruments.some(each => each.name === name)) return
  const names = instruments.map(each => each.name).join(', ')
  throw new UsageError(`The vessel has no instrument ${name}; it has ${names}.`)
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
