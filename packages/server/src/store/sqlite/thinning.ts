import type { DatabaseSync, StatementSync } from 'node:sqlite'
import type { RetentionLimits, Thinned } from '../store.ts'
import { HOUR_MS } from './block.ts'
import type { Blocks } from './blocks.ts'
import { inTransaction } from './transaction.ts'

/** Removing takes a fraction of a millisecond for each; control must not wait longer than some of them. */
const HOURS_REMOVED_AT_ONCE = 24
/** Hours that are only looked at: they come out of an index. */
const HOURS_SEEN_AT_ONCE = 500

/** From `from` to `to`, in milliseconds, both included. */
interface Span {
  readonly from: number
  readonly to: number
}

/** What is removed of a sealed hour. */
type Removal = 'readings' | 'late readings' | 'minutes'
const REMOVALS: readonly Removal[] = ['readings', 'late readings', 'minutes']

/**
 * Gives up what the retention rule gives up, hour by hour, stream by stream. An hour whose readings were removed stands in
 * `thinned`, with their number: so it is known that they are not lost, and cells without a block are no damage there.
 */
export class Thinning {
  readonly #db: DatabaseSync
  readonly #blocks: Blocks
  readonly #hours: Readonly<Record<Removal, StatementSync>>
  readonly #spans: StatementSync
  readonly #note: StatementSync
  readonly #removeLate: StatementSync
  readonly #removeMinutes: StatementSync
  readonly #noteMinutes: StatementSync
  #streams: readonly number[] = []
  #at = 0
  #removal = 0
  #after = Number.NEGATIVE_INFINITY

  constructor(db: DatabaseSync, blocks: Blocks) {
    this.#db = db
    this.#blocks = blocks
    const hours = (sql: string) => {
      const statement = db.prepare(sql)
      statement.setReturnArrays(true)
      return statement
    }
    this.#hours = {
      readings: hours(
        'select hour from block where stream = ? and hour > ? and hour < ? order by hour limit ?',
      ),
      'late readings': hours(
        `select hour from thinned where stream = ? and hour > ? and hour < ?
           and exists (select 1 from recent where recent.stream = thinned.stream
                       and at_ms >= hour * ${HOUR_MS} and at_ms < (hour + 1) * ${HOUR_MS})
         order by hour limit ?`,
      ),
      minutes: hours(
        'select hour from thinned where stream = ? and hour > ? and hour < ? and minutes = 1 order by hour limit ?',
      ),
    }
    this.#spans = db.prepare(
      'select started_ms, ended_ms from batch join stream on stream.vessel = batch.vessel where stream.id = ?',
    )
    this.#note = db.prepare(
      `insert into thinned (stream, hour, count, minutes)
       select stream, hour, count, 1 from block where stream = ? and hour = ?`,
    )
    this.#removeLate = db.prepare('delete from recent where stream = ? and at_ms >= ? and at_ms < ?')
    this.#removeMinutes = db.prepare('delete from minute_cells where stream = ? and hour = ?')
    this.#noteMinutes = db.prepare('update thinned set minutes = 0 where stream = ? and hour = ?')
  }

  /** Goes on where it stopped; `isMore` false: all streams have been gone through, and the next call begins again. */
  step(streams: readonly number[], limits: RetentionLimits): Thinned {
    if (this.#at === 0 && this.#removal === 0) this.#streams = streams
    const stream = this.#streams[this.#at]
    if (stream === undefined) {
      this.#goTo(0, 0)
      return { readings: 0, minuteHours: 0, isMore: false }
    }
    const removal = REMOVALS[this.#removal]!
    const before_ms = removal === 'minutes' ? limits.minutesFrom_ms : limits.detailFrom_ms
    const before = Math.floor(before_ms / HOUR_MS)
    const seen = Number.isFinite(before)
      ? this.#hours[removal]
          .all(stream, this.#after, before, HOURS_SEEN_AT_ONCE)
          .map(row => Number((row as unknown as readonly [number])[0]))
      : []
    const kept = this.#kept(stream, limits.around_ms)
    const removable = seen.filter(hour => !kept.some(span => touches(span, hour)))
    const now = removable.slice(0, HOURS_REMOVED_AT_ONCE)
    const readings = now.length === 0 ? 0 : this.#remove(removal, stream, now)
    if (removable.length > now.length) this.#after = now.at(-1)!
    else if (seen.length === HOURS_SEEN_AT_ONCE) this.#after = seen.at(-1)!
    else if (this.#removal + 1 < REMOVALS.length) this.#goTo(this.#at, this.#removal + 1)
    else this.#goTo(this.#at + 1, 0)
    return { readings, minuteHours: removal === 'minutes' ? now.length : 0, isMore: true }
  }

  #goTo(at: number, removal: number): void {
    this.#at = at
    this.#removal = removal
    this.#after = Number.NEGATIVE_INFINITY
  }

  /** Whatever lies in them belongs to a batch. One that goes on has no end. */
  #kept(stream: number, around_ms: number): readonly Span[] {
    return this.#spans.all(stream).map(({ started_ms, ended_ms }) => ({
      from: Number(started_ms) - around_ms,
      to: ended_ms === null ? Number.POSITIVE_INFINITY : Number(ended_ms) + around_ms,
    }))
  }

  /** How many readings are gone. */
  #remove(removal: Removal, stream: number, hours: readonly number[]): number {
    return inTransaction(this.#db, () => {
      let readings = 0
      for (const hour of hours) {
        if (removal === 'readings') {
          this.#note.run(stream, hour)
          readings += this.#blocks.remove(stream, hour)
        } else if (removal === 'late readings') {
          const gone = this.#removeLate.run(stream, hour * HOUR_MS, (hour + 1) * HOUR_MS)
          readings += Number(gone.changes)
        } else {
          this.#removeMinutes.run(stream, hour)
          this.#noteMinutes.run(stream, hour)
        }
      }
      return readings
    })
  }
}

function touches({ from, to }: Span, hour: number): boolean {
  return hour * HOUR_MS <= to && (hour + 1) * HOUR_MS > from
}
