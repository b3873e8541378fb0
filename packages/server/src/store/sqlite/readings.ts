import type { DatabaseSync } from 'node:sqlite'
import type { Added, Bucket, RetentionLimits, StoredReading, Stream, Thinned } from '../store.ts'
import { StoreError } from '../store-error.ts'
import { type Columns, HOUR_MS } from './block.ts'
import { Blocks } from './blocks.ts'
import { readBuckets } from './buckets.ts'
import { mergeColumns } from './merge.ts'
import { Recent, type RecentRow } from './recent.ts'
import { Streams } from './streams.ts'
import { Thinning } from './thinning.ts'
import { inTransaction } from './transaction.ts'

const STATUSES = ['good', 'uncertain', 'bad'] as const

/** Times that a date can have (ECMA-262, 21.4.1.1). */
const LATEST_MS = 8.64e15

/** All readings: those of the last hours as rows, older ones in hourly blocks, late ones beside the block of their hour. */
export class Readings {
  readonly #db: DatabaseSync
  readonly #streams: Streams
  readonly #recent: Recent
  readonly #blocks: Blocks
  readonly #thinning: Thinning

  constructor(db: DatabaseSync) {
    this.#db = db
    this.#streams = new Streams(db)
    this.#recent = new Recent(db)
    this.#blocks = new Blocks(db)
    this.#thinning = new Thinning(db, this.#blocks)
  }

  /** All groups in one transaction. */
  add(groups: readonly (readonly StoredReading[])[]): readonly Added[] {
    try {
      return inTransaction(this.#db, () => groups.map(readings => this.#addGroup(readings)))
    } catch (error) {
      this.#streams.reload()
      throw error
    }
  }

  read(stream: Stream, from_ms: number, to_ms: number, limit: number): readonly StoredReading[] {
    const id = this.#streams.idOf(stream)
    const [from, to] = wholeRange(from_ms, to_ms)
    if (id === null || from >= to || !(limit >= 1)) return []
    const rows = this.#recent.read(id, from, to, Math.floor(limit))
    const readings: StoredReading[] = []
    let rowsFrom_ms = from
    const give = (columns: Columns) => {
      for (let i = 0; i < columns.at_ms.length && readings.length < limit; i++) {
        readings.push(readingOf(stream, columns, i))
      }
    }
    for (const hour of this.#blocks.hours(id, Math.floor(from / HOUR_MS), Math.floor((to - 1) / HOUR_MS))) {
      if (readings.length >= limit) break
      const block = this.#blocks.read(id, hour)
      if (block === null) continue
      give(within(rows, rowsFrom_ms, hour * HOUR_MS))
      const [first, next] = [Math.max(from, hour * HOUR_MS), Math.min(to, (hour + 1) * HOUR_MS)]
      give(mergeColumns(within(block, first, next), within(rows, first, next)))
      rowsFrom_ms = next
    }
    give(within(rows, rowsFrom_ms, to))
    return readings
  }

  latest(stream: Stream, at_ms: number): StoredReading | null {
    const id = this.#streams.idOf(stream)
    if (id === null || Number.isNaN(at_ms)) return null
    const at = clamp(Math.floor(at_ms))
    const row = this.#recent.latest(id, at)
    const sealed = this.#latestSealed(stream, id, at)
    if (row === null || (sealed !== null && sealed.at_ms >= row.at_ms)) return sealed
    return { ...stream, at_ms: row.at_ms, value: row.value, status: STATUSES[row.status] ?? 'bad' }
  }

  buckets(stream: Stream, from_ms: number, to_ms: number, count: number): readonly Bucket[] {
    const id = this.#streams.idOf(stream)
    const [from, to] = wholeRange(from_ms, to_ms)
    if (id === null || from >= to || !(count >= 1)) return []
    return readBuckets({ blocks: this.#blocks, recent: this.#recent }, id, from, to, Math.floor(count))
  }

  streams(vessel?: string): readonly Stream[] {
    return this.#streams.list(vessel)
  }

  /**
   * Seals at most `most` hours that ended before `before_ms`, each in its own transaction. Returns whether there are
   * more. Late readings of a damaged block stay rows; the rest is sealed before that is reported.
   */
  seal(before_ms: number, most: number): boolean {
    let sealed = 0
    let damage: StoreError | null = null
    for (const stream of this.#streams.ids()) {
      let from_ms = -LATEST_MS
      for (;;) {
        const first_ms = this.#recent.first_ms(stream, from_ms)
        if (first_ms === null) break
        const hour = Math.floor(first_ms / HOUR_MS)
        from_ms = (hour + 1) * HOUR_MS
        if (from_ms > before_ms) break
        // What comes late to an hour whose readings were removed stays as it is, or goes with the next removal.
        if (this.#blocks.isThinned(stream, hour)) continue
        if (sealed >= most) return true
        try {
          inTransaction(this.#db, () => this.#sealHour(stream, hour))
          sealed++
        } catch (error) {
          if (!(error instanceof StoreError) || error.code !== 'corrupt') throw error
          damage = error
        }
      }
    }
    if (damage !== null) throw damage
    return false
  }

  /** One step of the retention rule. */
  thin(limits: RetentionLimits): Thinned {
    return this.#thinning.step(this.#streams.ids(), limits)
  }

  #addGroup(readings: readonly StoredReading[]): Added {
    const rows: RecentRow[] = []
    let stream = 0
    let previous: StoredReading | null = null
    for (const reading of readings) {
      // Many in a row are of the same stream.
      if (previous === null || !isSameStream(reading, previous)) stream = this.#streams.idOfOrNew(reading)
      previous = reading
      const at_ms = Math.round(reading.at_ms)
      if (this.#blocks.has(stream, Math.floor(at_ms / HOUR_MS), at_ms)) continue
      // Adding 0 turns -0 into 0, which SQLite and the decimal grid do not tell apart either.
      rows.push({ stream, at_ms, value: reading.value + 0, status: STATUSES.indexOf(reading.status) })
    }
    const stored = this.#recent.insert(rows)
    return { stored, repeated: readings.length - stored }
  }

  #sealHour(stream: number, hour: number): void {
    const [from_ms, to_ms] = [hour * HOUR_MS, (hour + 1) * HOUR_MS]
    const rows = this.#recent.read(stream, from_ms, to_ms)
    const block = this.#blocks.read(stream, hour)
    this.#blocks.write(stream, hour, block === null ? rows : mergeColumns(block, rows))
    this.#recent.remove(stream, from_ms, to_ms)
  }

  #latestSealed(stream: Stream, id: number, at_ms: number): StoredReading | null {
    let hour = this.#blocks.hourAtOrBefore(id, Math.floor(at_ms / HOUR_MS))
    while (hour !== null) {
      const block = this.#blocks.read(id, hour)
      const last = block === null ? -1 : block.at_ms.findLastIndex(at => at <= at_ms)
      if (block !== null && last >= 0) return readingOf(stream, block, last)
      hour = this.#blocks.hourAtOrBefore(id, hour - 1)
    }
    return null
  }
}

/** What keeps a reading from being stored, as a sentence; null: nothing. */
export function faultOf({ at_ms, value, status }: StoredReading): string | null {
  if (!(Math.abs(at_ms) <= LATEST_MS)) return `Its time is ${at_ms}; it must be milliseconds since 1970.`
  if (typeof value !== 'number') return `Its value is ${String(value)}; it must be a number.`
  if (!STATUSES.includes(status)) return `Its status is ${String(status)}; it must be good, uncertain or bad.`
  return null
}

function isSameStream(a: Stream, b: Stream): boolean {
  return a.quantity === b.quantity && a.instrument === b.instrument && a.vessel === b.vessel
}

function readingOf({ vessel, instrument, quantity }: Stream, columns: Columns, i: number): StoredReading {
  return {
    vessel,
    instrument,
    quantity,
    at_ms: columns.at_ms[i] ?? 0,
    value: columns.values[i] ?? Number.NaN,
    status: STATUSES[columns.statuses[i] ?? 2] ?? 'bad',
  }
}

function within({ at_ms, values, statuses }: Columns, from_ms: number, to_ms: number): Columns {
  const from = firstAtOrAfter(at_ms, from_ms)
  const to = Math.max(from, firstAtOrAfter(at_ms, to_ms))
  return {
    at_ms: at_ms.subarray(from, to),
    values: values.subarray(from, to),
    statuses: statuses.subarray(from, to),
  }
}

function firstAtOrAfter(times: Float64Array, at_ms: number): number {
  let from = 0
  let to = times.length
  while (from < to) {
    const middle = (from + to) >>> 1
    if ((times[middle] ?? 0) < at_ms) from = middle + 1
    else to = middle
  }
  return from
}

/** Readings have whole milliseconds, so a range with fractions holds the same ones as the whole range above it. */
function wholeRange(from_ms: number, to_ms: number): readonly [number, number] {
  return [clamp(Math.ceil(from_ms)), clamp(Math.ceil(to_ms))]
}

function clamp(at_ms: number): number {
  return Math.min(LATEST_MS, Math.max(-LATEST_MS, at_ms))
}
