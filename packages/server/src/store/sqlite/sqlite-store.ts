import { statSync } from 'node:fs'
import { open, rename, rm } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'
import { backup, DatabaseSync } from 'node:sqlite'
import type { JournalEntry, NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import { makePrivateFile } from '../private-file.ts'
import type {
  Added,
  AuditEntry,
  BatchRecord,
  Bucket,
  RetentionLimits,
  Store,
  StoredReading,
  Stream,
  Thinned,
  VesselRecord,
} from '../store.ts'
import { StoreError } from '../store-error.ts'
import { HOUR_MS } from './block.ts'
import { FileWatch } from './file-watch.ts'
import { GroupCommit } from './group-commit.ts'
import { Journal } from './journal.ts'
import { quickCheck } from './quick-check.ts'
import { faultOf, Readings } from './readings.ts'
import { Records } from './records.ts'
import { toStoreError } from './sqlite-error.ts'
import { verifyDatabase } from './verify.ts'

export interface SqliteStoreOptions {
  /** So many waiting readings are written at once, without waiting any longer. */
  readonly largestGroup?: number
}

/** An hour is sealed this long after it ended, so that most late readings still find it open. */
const OPEN_AFTER_END_MS = HOUR_MS

/** One takes some milliseconds for readings of every second; control must not wait longer than that. */
const HOURS_SEALED_AT_ONCE = 1

const RESCUE =
  'Nothing is written any more. As long as the cellar runs, a backup that is fetched from it (attemper backup FILE --cellar URL) still holds all records until then: fetch one, stop the cellar, and restore it.'

/** The store in one SQLite file. Open it with `openSqliteStore`. */
export class SqliteStore implements Store {
  readonly #db: DatabaseSync
  readonly #file: string
  readonly #readings: Readings
  readonly #records: Records
  readonly #journal: Journal
  readonly #watch: FileWatch
  readonly #group: GroupCommit<readonly StoredReading[], Added>

  /** @param db Set up and migrated; the store closes it. */
  constructor(db: DatabaseSync, file: string, options: SqliteStoreOptions = {}) {
    this.#db = db
    this.#file = file
    this.#readings = new Readings(db)
    this.#records = new Records(db)
    this.#journal = new Journal(db)
    this.#watch = new FileWatch(file)
    this.#watch.problem()
    this.#group = new GroupCommit(
      group => this.#write(() => this.#readings.add(group)),
      options.largestGroup ?? 5_000,
    )
  }

  async addReadings(readings: readonly StoredReading[]): Promise<Added> {
    if (readings.length === 0) return { stored: 0, repeated: 0 }
    readings.forEach((reading, i) => {
      const fault = faultOf(reading)
      if (fault !== null) throw new RangeError(`Reading ${i} can not be stored. ${fault}`)
    })
    return this.#group.add(readings, readings.length)
  }

  readings(
    stream: Stream,
    from_ms: number,
    to_ms: number,
    limit = Number.POSITIVE_INFINITY,
  ): readonly StoredReading[] {
    return this.#guard(() => this.#readings.read(stream, from_ms, to_ms, limit))
  }

  latestReading(stream: Stream, at_ms: number): StoredReading | null {
    return this.#guard(() => this.#readings.latest(stream, at_ms))
  }

  buckets(stream: Stream, from_ms: number, to_ms: number, count: number): readonly Bucket[] {
    return this.#guard(() => this.#readings.buckets(stream, from_ms, to_ms, count))
  }

  streams(vessel?: string): readonly Stream[] {
    return this.#guard(() => this.#readings.streams(vessel))
  }

  seal(now_ms: number): boolean {
    return this.#write(() => this.#readings.seal(now_ms - OPEN_AFTER_END_MS, HOURS_SEALED_AT_ONCE))
  }

  thin(limits: RetentionLimits): Thinned {
    return this.#write(() => this.#readings.thin(limits))
  }

  putVessel(vessel: VesselRecord): void {
    this.#write(() => this.#records.putVessel(vessel))
  }

  vessels(): readonly VesselRecord[] {
    return this.#guard(() => this.#records.vessels())
  }

  removeVessel(name: string): void {
    this.#write(() => this.#records.removeVessel(name))
  }

  createBatch(batch: BatchRecord): void {
    this.#write(() => this.#records.createBatch(batch))
  }

  updateBatch(id: string, part: Partial<Pick<BatchRecord, 'planText' | 'ended_ms'>>): void {
    this.#write(() => this.#records.updateBatch(id, part))
  }

  batch(id: string): BatchRecord | null {
    return this.#guard(() => this.#records.batch(id))
  }

  batches(): readonly BatchRecord[] {
    return this.#guard(() => this.#records.batches())
  }

  appendJournal(batch: string, entries: readonly JournalEntry[], state: EngineState | null): number {
    return this.#write(() => this.#journal.append(batch, entries, state))
  }

  journal(
    batch: string,
    options: { readonly after?: number; readonly limit?: number; readonly until_ms?: number } = {},
  ): readonly NumberedEntry[] {
    return this.#guard(() => this.#journal.read(batch, options))
  }

  latestState(batch: string): { readonly state: EngineState; readonly at_ms: number } | null {
    return this.#guard(() => this.#journal.latestState(batch))
  }

  getDocument(name: string): string | null {
    return this.#guard(() => this.#records.getDocument(name))
  }

  putDocument(name: string, text: string): void {
    this.#write(() => this.#records.putDocument(name, text))
  }

  appendAudit(entry: AuditEntry): void {
    this.#write(() => this.#records.appendAudit(entry))
  }

  audit(limit: number): readonly AuditEntry[] {
    return this.#guard(() => this.#records.audit(limit))
  }

  /** The file gets its name only once the copy is complete; a file of that name is replaced. */
  async backup(file: string): Promise<void> {
    if (resolve(file) === resolve(this.#file)) {
      throw new StoreError('io', `${file} is the database itself. Give the backup another name.`)
    }
    const part = `${file}.part`
    await this.#guardAsync(async () => {
      // What an attempt that was broken off has left is no beginning.
      await rm(part, { force: true })
      makePrivateFile(part)
      // Of files that are gone, this connection is the last that still knows what was in them; nothing writes through it now.
      if (this.#watch.problem() !== null) await backup(this.#db, part)
      else await copySnapshot(this.#file, part)
      await rename(part, file)
      const folder = await open(dirname(resolve(file)))
      await folder.sync()
      await folder.close()
    })
  }

  /** Looks at every page and block, which takes seconds for a large database; while it runs, control waits. */
  async verify(): Promise<readonly string[]> {
    return this.#guardAsync(() => verifyDatabase(this.#db))
  }

  /** Looks whether the pages are in order, for some seconds at most (quick-check.ts). */
  quickCheck(): readonly string[] {
    return this.#guard(() => quickCheck(this.#db, this.#file, statSync(this.#file).size))
  }

  close(): void {
    if (!this.#db.isOpen) return
    this.#group.flush()
    this.#db.close()
  }

  /** What keeps from now on everything that is written from being found again, as a sentence with its cure; null: nothing. */
  fileProblem(): string | null {
    const problem = this.#watch.problem()
    return problem === null ? null : `${problem} ${RESCUE}`
  }

  /** As `#guard`; what would go into a file that nobody finds again is refused. */
  #write<Result>(work: () => Result): Result {
    return this.#guard(() => {
      const problem = this.fileProblem()
      if (problem !== null) throw new StoreError('gone', problem)
      return work()
    })
  }

  #guard<Result>(work: () => Result): Result {
    if (!this.#db.isOpen) throw new StoreError('closed', `${this.#file} has been closed. Open it again.`)
    try {
      return work()
    } catch (error) {
      throw toStoreError(error, this.#file)
    }
  }

  async #guardAsync<Result>(work: () => Promise<Result>): Promise<Result> {
    try {
      return await this.#guard(work)
    } catch (error) {
      throw toStoreError(error, this.#file)
    }
  }
}

/**
 * Copies the database as it is at this moment. Through a connection of its own, which goes on reading from that moment: a
 * copy through the one that writes is refused whenever it meets a transaction, and one without a moment begins anew with
 * each write of another.
 */
async function copySnapshot(file: string, copy: string): Promise<void> {
  const reader = new DatabaseSync(file, { readOnly: true })
  try {
    reader.exec('begin')
    reader.prepare('select count(*) from version').get()
    await backup(reader, copy)
  } finally {
    reader.close()
  }
}
