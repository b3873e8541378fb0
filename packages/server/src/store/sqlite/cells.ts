import { type Columns, HOUR_MS } from './block.ts'
import { ByteReader, ByteWriter } from './bytes.ts'
import { decimalPlaces, NO_GRID, toGrid } from './decimal-grid.ts'

export const MINUTE_MS = 60_000

/** What is known of all readings in a stretch of time; bad ones and such that are not finite are left out. */
export interface Cell {
  readonly count: number
  readonly min: number
  readonly max: number
  readonly sum: number
}

/** Of one hour. */
export interface MinuteCells {
  /** Decimal places of all values that went in, or NO_GRID. */
  readonly places: number
  /** By minute (0 to 59), in order; minutes without readings are missing. */
  readonly cells: ReadonlyMap<number, Cell>
}

const LAYOUT = 1
const BAD = 2

export function minuteCells(hour: number, { at_ms, values, statuses }: Columns): MinuteCells {
  const cells = new Map<number, { count: number; min: number; max: number; sum: number }>()
  const places = decimalPlaces(values.filter((value, i) => statuses[i] !== BAD && Number.isFinite(value)))
  for (let i = 0; i < values.length; i++) {
    const value = values[i] ?? Number.NaN
    if (statuses[i] === BAD || !Number.isFinite(value)) continue
    const minute = Math.floor(((at_ms[i] ?? 0) - hour * HOUR_MS) / MINUTE_MS)
    const cell = cells.get(minute)
    if (cell === undefined) {
      cells.set(minute, { count: 1, min: value, max: value, sum: value })
      continue
    }
    cell.count++
    cell.sum += value
    if (value < cell.min) cell.min = value
    if (value > cell.max) cell.max = value
  }
  return { places, cells }
}

/** null: there is nothing to be joined. */
export function joinCells(cells: Iterable<Cell>): Cell | null {
  let joined: Cell | null = null
  for (const cell of cells) {
    joined =
      joined === null
        ? cell
        : {
            count: joined.count + cell.count,
            min: Math.min(joined.min, cell.min),
            max: Math.max(joined.max, cell.max),
            sum: joined.sum + cell.sum,
          }
  }
  return joined
}

/** The layout is drawn in docs/formats/database.md. On a decimal grid the sum is exact to the last step. */
export function encodeMinutes({ places, cells }: MinuteCells): Uint8Array {
  const isOnGrid = places !== NO_GRID && [...cells.values()].every(cell => sumIsWhole(cell, places))
  const writer = new ByteWriter()
  writer.byte(LAYOUT)
  writer.byte(isOnGrid ? places : NO_GRID)
  let previousMinute = -1
  let previousMin = 0
  for (const [minute, cell] of cells) {
    writer.byte(minute - previousMinute)
    previousMinute = minute
    writer.varint(cell.count)
    if (isOnGrid) {
      const min = toGrid(cell.min, places)
      writer.zigzag(min - previousMin)
      writer.varint(toGrid(cell.max, places) - min)
      writer.varint(toGrid(cell.sum, places) - cell.count * min)
      previousMin = min
    } else {
      writer.float64(cell.min)
      writer.float64(cell.max)
      writer.float64(cell.sum)
    }
  }
  return writer.result()
}

/**
 * Adding n floating-point numbers costs at most n roundings of the largest sum on the way. While that is well below
 * half a step, the nearest step is the exact sum.
 */
function sumIsWhole(cell: Cell, places: number): boolean {
  const largest = cell.count * Math.max(Math.abs(cell.min), Math.abs(cell.max)) * 10 ** places
  return cell.count * largest * Number.EPSILON < 0.25
}

export type TakeCell = (minute: number, count: number, min: number, max: number, sum: number) => void

/** Throws an Error that says what is wrong when the bytes are not cells. */
export function decodeMinutes(bytes: Uint8Array, take: TakeCell): void {
  const reader = new ByteReader(bytes)
  const layout = reader.byte()
  if (layout !== LAYOUT) throw new RangeError(`The layout of its cells is ${layout}; ${LAYOUT} is known.`)
  const places = reader.byte()
  const power = 10 ** places
  let minute = -1
  let min = 0
  while (!reader.atEnd) {
    minute += reader.byte()
    const count = reader.varint()
    if (places === NO_GRID) {
      take(minute, count, reader.float64(), reader.float64(), reader.float64())
      continue
    }
    min += reader.zigzag()
    const max = min + reader.varint()
    const sum = count * min + reader.varint()
    take(minute, count, min / power, max / power, sum / power)
  }
}
