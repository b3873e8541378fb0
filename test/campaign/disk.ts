import {
  closeSync,
  copyFileSync,
  existsSync,
  ftruncateSync,
  mkdtempSync,
  openSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { DatabaseSync } from 'node:sqlite'
import { openDatabase } from '@attemper/server/store/sqlite/open.ts'
import { SqliteStore } from '@attemper/server/store/sqlite/sqlite-store.ts'
import type { Store } from '@attemper/server/store/store.ts'
import { StoreError } from '@attemper/server/store/store-error.ts'

/** Thrown where the process is killed: nothing that comes after has any effect. */
export class Killed extends Error {}

const WRITES = new Set([
  'addReadings',
  'putVessel',
  'removeVessel',
  'createBatch',
  'updateBatch',
  'appendJournal',
  'putDocument',
  'appendAudit',
])

/** Readings are written at once: the wait of a group commit is no matter of this campaign (store/sqlite/group-commit.test.ts). */
const AT_ONCE = { largestGroup: 1 }

/**
 * The disk under the records: the real store on a database in memory, or in a file when its tail may be lost with the power.
 * It can be full, and it is where a process is killed: before a write, or after it and before anybody has heard of it.
 */
export class Disk {
  isFull = false
  /** Its files are not where they were. */
  isAway = false
  /** Kills the process at this many writes from now; Infinity: not. */
  writesToKill = Number.POSITIVE_INFINITY
  killsAfterWrite = false
  readonly onKilled: () => void
  /** Told of everything that was written, with its arguments and its answer. */
  readonly onWritten: (method: string, given: readonly unknown[]) => void
  readonly #folder: string | null
  #db: DatabaseSync
  #number = 0

  constructor(
    isFile: boolean,
    onKilled: () => void,
    onWritten: (method: string, given: readonly unknown[]) => void,
  ) {
    this.onKilled = onKilled
    this.onWritten = onWritten
    this.#folder = isFile
      ? mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'attemper-'))
      : null
    this.#db = this.#open()
  }

  get isFile(): boolean {
    return this.#folder !== null
  }

  /** The database itself, for damage that no software does. */
  get database(): DatabaseSync {
    return this.#db
  }

  /** The records as one life of the cellar has them; `isAlive`: whether that life goes on. */
  store(isAlive: () => boolean): Store {
    const real = new SqliteStore(this.#db, this.#file, AT_ONCE)
    const tested: Record<string, unknown> = {}
    for (const name of Object.getOwnPropertyNames(SqliteStore.prototype)) {
      if (name === 'constructor') continue
      const method = (real as unknown as Record<string, (...given: unknown[]) => unknown>)[name]!.bind(real)
      tested[name] = WRITES.has(name)
        ? (...given: unknown[]) => this.#write(name, method, given, isAlive)
        : (...given: unknown[]) => {
            if (!isAlive()) throw new Killed('the process has ended')
            return method(...given)
          }
    }
    // The database belongs to the disk, and outlives the process.
    tested.close = () => undefined
    return tested as unknown as Store
  }

  /** A look at the records from outside. */
  peek(): SqliteStore {
    return new SqliteStore(this.#db, this.#file, AT_ONCE)
  }

  /** What has been written so far can not be lost with the power any more. */
  checkpoint(): void {
    if (this.#folder !== null) this.#db.exec('pragma wal_checkpoint(truncate)')
  }

  /** The power fails, and of what was written last only a part, up to some byte, has reached the medium. Answers how much is lost. */
  tearTail(share: number): number {
    if (this.#folder === null) return 0
    const from = this.#file
    this.#number++
    copyFileSync(from, this.#file)
    copyFileSync(`${from}-wal`, `${this.#file}-wal`)
    this.#db.close()
    for (const end of ['', '-wal', '-shm']) rmSync(`${from}${end}`, { force: true })
    const { size } = statSync(`${this.#file}-wal`)
    const kept = Math.floor(size * (1 - share))
    const wal = openSync(`${this.#file}-wal`, 'r+')
    ftruncateSync(wal, kept)
    closeSync(wal)
    this.#db = this.#open()
    return size - kept
  }

  /** Somebody moves the files away while the cellar runs, or back again. */
  moveAway(isAway: boolean): void {
    for (const end of ['', '-wal', '-shm']) {
      const [here, there] = [`${this.#file}${end}`, `${this.#file}${end}.away`]
      if (existsSync(isAway ? here : there)) renameSync(isAway ? here : there, isAway ? there : here)
    }
    this.isAway = isAway
  }

  close(): void {
    if (this.#db.isOpen) this.#db.close()
    if (this.#folder !== null) rmSync(this.#folder, { recursive: true, force: true })
  }

  get #file(): string {
    return this.#folder === null ? ':memory:' : join(this.#folder, `records-${this.#number}.sqlite`)
  }

  #open(): DatabaseSync {
    const db = openDatabase(this.#file)
    db.exec('pragma synchronous = off')
    // A checkpoint is made only where the story says so: what lies before it is on the medium, what comes after may be lost.
    db.exec('pragma wal_autocheckpoint = 0')
    return db
  }

  #write(
    name: string,
    method: (...given: unknown[]) => unknown,
    given: unknown[],
    isAlive: () => boolean,
  ): unknown {
    if (!isAlive()) throw new Killed('the process has ended')
    const isKilled = --this.writesToKill < 0
    if (isKilled && !this.killsAfterWrite) this.#kill()
    if (this.isFull) {
      const error = new StoreError(
        'disk-full',
        'the records: database or disk is full. Make space on the disk.',
      )
      if (name === 'addReadings') return Promise.reject(error)
      throw error
    }
    const answer = method(...given)
    if (name !== 'addReadings') this.onWritten(name, given)
    if (isKilled) this.#kill()
    return answer
  }

  #kill(): never {
    this.writesToKill = Number.POSITIVE_INFINITY
    this.onKilled()
    throw new Killed('killed')
  }
}
