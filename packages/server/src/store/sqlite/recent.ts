import type { DatabaseSync, StatementSync } from 'node:sqlite'
import type { Columns } from './block.ts'
import type { Cell } from './cells.ts'

/** Rows that one call of SQLite inserts: calling it takes as long as inserting a row. */
const ROWS_AT_ONCE = 16

/** Readings that are not sealed yet, a row each: those of the last hours, and late ones. */
export class Recent {
  readonly #insert: StatementSync
  readonly #insertMany: StatementSync
  readonly #select: StatementSync
  readonly #first: StatementSync
  readonly #latest: StatementSync
  readonly #cells: StatementSync
  readonly #remove: StatementSync

  constructor(db: DatabaseSync) {
    const insert = (rows: number) =>
      db.prepare(
        `insert into recent (stream, at_ms, value, status) values ${Array(rows).fill('(?, ?, ?, ?)').join(', ')}
         on conflict do nothing`,
      )
    this.#insert = insert(1)
    this.#insertMany = insert(ROWS_AT_ONCE)
    this.#select = db.prepare(
      `select at_ms, value, status from recent where stream = ? and at_ms >= ? and at_ms < ?
       order by at_ms limit ?`,
    )
    this.#select.setReturnArrays(true)
    this.#first = db.prepare(
      'select at_ms from recent where stream = ? and at_ms >= ? order by at_ms limit 1',
    )
    this.#latest = db.prepare(
      'select at_ms, value, status from recent where stream = ? and at_ms <= ? order by at_ms desc limit 1',
    )
    this.#latest.setReturnArrays(true)
    // Numbers arrive as floating-point ones: without the casts the division would not be whole.
    this.#cells = db.prepare(
      `select (at_ms - cast(:origin as integer)) / cast(:width as integer) as place,
              count(*), min(value), max(value), sum(value)
       from recent
       where stream = :stream and at_ms >= :from and at_ms < :to and status < 2
         and value between -1.7976931348623157e308 and 1.7976931348623157e308
       group by place`,
    )
    this.#cells.setReturnArrays(true)
    this.#remove = db.prepare('delete from recent where stream = ? and at_ms >= ? and at_ms < ?')
  }

  /** Returns how many were new. Within a transaction. */
  insert(rows: readonly RecentRow[]): number {
    let stored = 0
    let at = 0
    for (; at + ROWS_AT_ONCE <= rows.length; at += ROWS_AT_ONCE) {
      const values: (number | null)[] = []
      for (let i = at; i < at + ROWS_AT_ONCE; i++) {
        const { stream, at_ms, value, status } = rows[i]!
        values.push(stream, at_ms, orNull(value), status)
      }
      stored += Number(this.#insertMany.run(...values).changes)
    }
    for (; at < rows.length; at++) {
      const { stream, at_ms, value, status } = rows[at]!
      stored += Number(this.#insert.run(stream, at_ms, orNull(value), status).changes)
    }
    return stored
  }

  /** The earliest `limit` readings; `to_ms` is not included. */
  read(stream: number, from_ms: number, to_ms: number, limit = Number.POSITIVE_INFINITY): Columns {
    const most = Number.isFinite(limit) ? limit : -1
    const rows = this.#select.all(stream, from_ms, to_ms, most) as unknown as readonly Row[]
    const at_ms = new Float64Array(rows.length)
    const values = new Float64Array(rows.length)
    const statuses = new Uint8Array(rows.length)
    rows.forEach(([at, value, status], i) => {
      at_ms[i] = at
      values[i] = value ?? Number.NaN
      statuses[i] = status
    })
    return { at_ms, values, statuses }
  }

  /** The time of the earliest reading at or after a time. */
  first_ms(stream: number, from_ms: number): number | null {
    const at_ms = this.#first.get(stream, from_ms)?.at_ms
    return typeof at_ms === 'number' ? at_ms : null
  }

  latest(stream: number, at_ms: number): { at_ms: number; value: number; status: number } | null {
    const row = this.#latest.get(stream, at_ms) as unknown as Row | undefined
    return row === undefined ? null : { at_ms: row[0], value: row[1] ?? Number.NaN, status: row[2] }
  }

  /** Joins the readings of [from, to) in stretches of `width_ms` counted from `origin_ms`. */
  eachCell(
    stream: number,
    stretch: { readonly from_ms: number; readonly to_ms: number },
    grid: { readonly origin_ms: number; readonly width_ms: number },
    take: (place: number, cell: Cell) => void,
  ): void {
    const rows = this.#cells.all({
      origin: grid.origin_ms,
      width: grid.width_ms,
      stream,
      from: stretch.from_ms,
      to: stretch.to_ms,
    })
    for (const row of rows) {
      const [place, count, min, max, sum] = row as unknown as [number, number, number, number, number]
      take(place, { count, min, max, sum })
    }
  }

  /** Within a transaction; `to_ms` is not included. */
  remove(stream: number, from_ms: number, to_ms: number): void {
    this.#remove.run(stream, from_ms, to_ms)
  }
}

export interface RecentRow {
  readonly stream: number
  readonly at_ms: number
  readonly value: number
  readonly status: number
}

/** SQLite knows no NaN. */
function orNull(value: number): number | null {
  return Number.isNaN(value) ? null : value
}

type Row = readonly [at_ms: number, value: number | null, status: number]
