import type { DatabaseSync, StatementSync } from 'node:sqlite'
import { StoreError } from '../store-error.ts'
import { type Columns, decodeBlock, encodeBlock } from './block.ts'
import { type Cell, decodeMinutes, encodeMinutes, joinCells, minuteCells, type TakeCell } from './cells.ts'

/** Decoded times of blocks that late readings were held against. */
const REMEMBERED_BLOCKS = 64

/** The sealed hours: a block for each stream and hour, with its cells of a minute and of an hour. */
export class Blocks {
  readonly #select: StatementSync
  readonly #hours: StatementSync
  readonly #previous: StatementSync
  readonly #minutes: StatementSync
  readonly #hourCells: StatementSync
  readonly #putBlock: StatementSync
  readonly #putMinutes: StatementSync
  readonly #putHour: StatementSync
  readonly #count: StatementSync
  readonly #remove: StatementSync
  readonly #thinned: StatementSync
  readonly #isThinned: StatementSync
  readonly #hourCell: StatementSync
  readonly #lastHours = new Map<number, number>()
  readonly #times = new Map<string, Float64Array>()

  constructor(db: DatabaseSync) {
    this.#select = db.prepare('select data from block where stream = ? and hour = ?')
    this.#hours = db.prepare(
      'select hour from block where stream = ? and hour >= ? and hour <= ? order by hour',
    )
    this.#previous = db.prepare('select max(hour) as hour from block where stream = ? and hour <= ?')
    this.#minutes = db.prepare(
      'select hour, data from minute_cells where stream = ? and hour >= ? and hour <= ? order by hour',
    )
    // Numbers arrive as floating-point ones: without the casts the division would not be whole.
    this.#hourCells = db.prepare(
      `select (hour - cast(:origin as integer)) / cast(:width as integer) as place,
              sum(count), min(min), max(max), sum(sum)
       from hour_cell where stream = :stream and hour >= :from and hour < :to group by place`,
    )
    this.#hourCells.setReturnArrays(true)
    this.#putBlock = db.prepare(
      `insert into block (stream, hour, count, data) values (?, ?, ?, ?)
       on conflict (stream, hour) do update set count = excluded.count, data = excluded.data`,
    )
    this.#putMinutes = db.prepare(
      `insert into minute_cells (stream, hour, data) values (?, ?, ?)
       on conflict (stream, hour) do update set data = excluded.data`,
    )
    this.#putHour = db.prepare(
      'insert or replace into hour_cell (stream, hour, count, min, max, sum) values (?, ?, ?, ?, ?, ?)',
    )
    this.#count = db.prepare('select count from block where stream = ? and hour = ?')
    this.#remove = db.prepare('delete from block where stream = ? and hour = ?')
    this.#thinned = db.prepare(
      'select hour, minutes from thinned where stream = ? and hour >= ? and hour <= ? order by hour',
    )
    this.#isThinned = db.prepare('select 1 from thinned where stream = ? and hour = ?')
    this.#hourCell = db.prepare('select count, min, max, sum from hour_cell where stream = ? and hour = ?')
    for (const { stream, hour } of db
      .prepare('select stream, max(hour) as hour from block group by stream')
      .all()) {
      this.#lastHours.set(Number(stream), Number(hour))
    }
  }

  /** null: this hour is not sealed. */
  read(stream: number, hour: number): Columns | null {
    const row = this.#select.get(stream, hour)
    if (row === undefined) return null
    try {
      return decodeBlock(hour, row.data as Uint8Array)
    } catch (error) {
      throw damaged('block', stream, hour, error)
    }
  }

  /** Within a transaction. */
  write(stream: number, hour: number, columns: Columns): void {
    this.#times.delete(`${stream} ${hour}`)
    this.#lastHours.set(stream, Math.max(hour, this.#lastHours.get(stream) ?? hour))
    this.#putBlock.run(stream, hour, columns.at_ms.length, encodeBlock(hour, columns))
    const minutes = minuteCells(hour, columns)
    const whole = joinCells(minutes.cells.values())
    if (whole === null) return
    this.#putMinutes.run(stream, hour, encodeMinutes(minutes))
    this.#putHour.run(stream, hour, whole.count, whole.min, whole.max, whole.sum)
  }

  /** Whether a sealed hour holds a reading of exactly this time. */
  has(stream: number, hour: number, at_ms: number): boolean {
    const lastHour = this.#lastHours.get(stream)
    if (lastHour === undefined || hour > lastHour) return false
    return holds(this.#timesOf(stream, hour), at_ms)
  }

  /** Sealed hours, both ends included. */
  hours(stream: number, from: number, to: number): readonly number[] {
    return this.#hours.all(stream, from, to).map(({ hour }) => Number(hour))
  }

  /** The latest sealed hour at or before one. */
  hourAtOrBefore(stream: number, hour: number): number | null {
    const found = this.#previous.get(stream, hour)?.hour
    return typeof found === 'number' ? found : null
  }

  /** Cells of a minute of the sealed hours, both ends included. */
  eachMinute(stream: number, from: number, to: number, take: (hour: number) => TakeCell): void {
    for (const row of this.#minutes.all(stream, from, to)) {
      const hour = Number(row.hour)
      try {
        decodeMinutes(row.data as Uint8Array, take(hour))
      } catch (error) {
        throw damaged('cells', stream, hour, error)
      }
    }
  }

  /** Joins cells of an hour in stretches of `width` hours counted from the hour `origin`; `to` is not included. */
  eachHours(
    stream: number,
    { from, to }: { readonly from: number; readonly to: number },
    { origin, width }: { readonly origin: number; readonly width: number },
    take: (place: number, cell: Cell) => void,
  ): void {
    for (const row of this.#hourCells.all({ origin, width, stream, from, to })) {
      const [place, count, min, max, sum] = row as unknown as [number, number, number, number, number]
      take(place, { count, min, max, sum })
    }
  }

  /** Removes the readings of a sealed hour, and keeps its cells; how many there were. Within a transaction. */
  remove(stream: number, hour: number): number {
    const count = Number(this.#count.get(stream, hour)?.count ?? 0)
    this.#times.delete(`${stream} ${hour}`)
    this.#remove.run(stream, hour)
    return count
  }

  /** Whether the readings of this hour were removed, so that it must not be sealed again. */
  isThinned(stream: number, hour: number): boolean {
    return this.#isThinned.get(stream, hour) !== undefined
  }

  /** Hours whose readings were removed, both ends included; `hasMinutes`: their cells of a minute are still there. */
  thinnedHours(
    stream: number,
    from: number,
    to: number,
  ): readonly { readonly hour: number; readonly hasMinutes: boolean }[] {
    return this.#thinned
      .all(stream, from, to)
      .map(({ hour, minutes }) => ({ hour: Number(hour), hasMinutes: minutes === 1 }))
  }

  /** null: there are no good readings in this hour. */
  hourCell(stream: number, hour: number): Cell | null {
    const row = this.#hourCell.get(stream, hour)
    return row === undefined
      ? null
      : { count: Number(row.count), min: Number(row.min), max: Number(row.max), sum: Number(row.sum) }
  }

  #timesOf(stream: number, hour: number): Float64Array {
    const key = `${stream} ${hour}`
    let times = this.#times.get(key)
    if (times === undefined) {
      times = this.#readTimes(stream, hour)
      const oldest = this.#times.keys().next().value
      if (this.#times.size >= REMEMBERED_BLOCKS && oldest !== undefined) this.#times.delete(oldest)
      this.#times.set(key, times)
    }
    return times
  }

  /** A damaged block must not keep new readings, perhaps of other streams, from being stored. */
  #readTimes(stream: number, hour: number): Float64Array {
    try {
      return this.read(stream, hour)?.at_ms ?? new Float64Array()
    } catch (error) {
      if (error instanceof StoreError && error.code === 'corrupt') return new Float64Array()
      throw error
    }
  }
}

function damaged(what: string, stream: number, hour: number, error: unknown): StoreError {
  const reason = error instanceof Error ? error.message : String(error)
  return new StoreError(
    'corrupt',
    `The ${what} of stream ${stream}, hour ${hour}, can not be read: ${reason} Restore the latest backup.`,
    { cause: error },
  )
}

/** `times` grow. */
function holds(times: Float64Array, at_ms: number): boolean {
  let from = 0
  let to = times.length
  while (from < to) {
    const middle = (from + to) >>> 1
    if ((times[middle] ?? 0) < at_ms) from = middle + 1
    else to = middle
  }
  return times[from] === at_ms
}
