import type { JournalEntry, NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'

/**
 * All that the cellar keeps, behind one narrow interface. What a method has returned from (or resolved) is on disk: the
 * caller may acknowledge it. Times are milliseconds since 1970-01-01T00:00 UTC on the cellar's own clock.
 */
export interface Store {
  /**
   * Resolves when the readings are on disk (they may be committed together with others). The same stream and time is
   * stored once: the first value stays, the second counts as repeated. Times are kept as whole milliseconds, values
   * exactly, but -0 as 0. Rejects with a StoreError when they could not be written; then none of them is stored.
   */
  addReadings(readings: readonly StoredReading[]): Promise<Added>
  /** In the order of time; `from_ms` included, `to_ms` not. At most `limit`, the earliest first. */
  readings(stream: Stream, from_ms: number, to_ms: number, limit?: number): readonly StoredReading[]
  /** The latest reading at or before a time. */
  latestReading(stream: Stream, at_ms: number): StoredReading | null
  /**
   * At most `count` buckets of equal width; empty ones are left out, and so are bad readings and such that are not
   * finite. Wide buckets begin at a whole minute or hour, so that the first may begin before `from_ms`; it still holds
   * no reading from before. Quick for a year of readings each second.
   */
  buckets(stream: Stream, from_ms: number, to_ms: number, count: number): readonly Bucket[]
  streams(vessel?: string): readonly Stream[]
  /**
   * Packs the readings of one stream in one hour that is past; not more, so that control does not wait. Returns whether
   * there is more to pack now: then call again as soon as there is time, otherwise after some minutes. Readings are
   * found just the same before and after.
   */
  seal(now_ms: number): boolean
  /**
   * Removes what the limits give up of some packed hours of one stream; not more, so that control does not wait. Never removed
   * is what lies within a batch of its vessel, or close to one: its record stays whole. Cells of an hour stay in any case, so
   * that charts of years look the same. Call again as long as `isMore`.
   */
  thin(limits: RetentionLimits): Thinned

  putVessel(vessel: VesselRecord): void
  vessels(): readonly VesselRecord[]
  removeVessel(name: string): void

  createBatch(batch: BatchRecord): void
  /** Replaces plan, state or end of a batch that is already there. */
  updateBatch(id: string, part: Partial<Pick<BatchRecord, 'planText' | 'ended_ms'>>): void
  batch(id: string): BatchRecord | null
  batches(): readonly BatchRecord[]

  /**
   * Writes entries and the state after them in one transaction, before any of the commands goes out. Returns the number
   * of the last entry; entries count from 1 within a batch.
   */
  appendJournal(batch: string, entries: readonly JournalEntry[], state: EngineState | null): number
  /** Entries after a number, up to and including a time, in the order of their numbers. */
  journal(
    batch: string,
    options?: { readonly after?: number; readonly limit?: number; readonly until_ms?: number },
  ): readonly NumberedEntry[]
  /** The state after the latest entry that carried one. */
  latestState(batch: string): { readonly state: EngineState; readonly at_ms: number } | null

  /** Small named documents: settings, the secret of the sessions, hashes of passwords and tokens, alarm states. */
  getDocument(name: string): string | null
  putDocument(name: string, text: string): void
  /** Who changed what, when. */
  appendAudit(entry: AuditEntry): void
  /** The latest ones, the latest first. */
  audit(limit: number): readonly AuditEntry[]

  /** A consistent copy while the cellar runs. */
  backup(file: string): Promise<void>
  verify(): Promise<readonly string[]>
  close(): void
}

/** Where a series of readings comes from. */
export interface Stream {
  readonly vessel: string
  readonly instrument: string
  readonly quantity: string
}

/** In the quantity's own unit, as in the core. `status` as in OPC UA. */
export interface StoredReading extends Stream {
  readonly at_ms: number
  readonly value: number
  readonly status: 'good' | 'uncertain' | 'bad'
}

export interface Added {
  readonly stored: number
  readonly repeated: number
}

/** What the retention rule gives up, and what it must leave alone. -Infinity: nothing is given up. */
export interface RetentionLimits {
  /** Single readings of hours that ended before this are removed. */
  readonly detailFrom_ms: number
  /** So are the cells of a minute of such hours; not later than `detailFrom_ms`. */
  readonly minutesFrom_ms: number
  /** So long before a batch and after it everything is kept too. */
  readonly around_ms: number
}

export interface Thinned {
  /** Single readings that were removed. */
  readonly readings: number
  /** Hours whose cells of a minute were removed. */
  readonly minuteHours: number
  readonly isMore: boolean
}

export interface Bucket {
  readonly from_ms: number
  readonly count: number
  readonly min: number
  readonly max: number
  readonly mean: number
}

export interface VesselRecord {
  readonly name: string
  /** The vessel file as the brewer wrote it. */
  readonly text: string
  /** Doors of this vessel: how its instruments are heard and its appliances are switched (doors/door-settings.ts). */
  readonly doors: string
  readonly changed_ms: number
}

export interface BatchRecord {
  readonly id: string
  readonly vessel: string
  readonly name: string
  readonly planText: string
  readonly vesselText: string
  readonly beerText: string
  readonly localOffset_s: number
  readonly started_ms: number
  readonly ended_ms: number | null
}

export interface AuditEntry {
  readonly at_ms: number
  readonly who: string
  readonly what: string
}
