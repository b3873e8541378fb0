import {
  chmodSync,
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  openSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'
import { lockFolder } from './folder-lock.ts'
import { PRIVATE_FILE } from './store/private-file.ts'
import { openSqliteStore } from './store/sqlite/open.ts'
import type { SqliteStore } from './store/sqlite/sqlite-store.ts'
import { StoreError } from './store/store-error.ts'

/** The one file of a data folder that matters; what else lies there belongs to it, or can be made again. */
const DATABASE = 'cellar.sqlite'

/** Files that SQLite keeps beside it while it is open. */
const BESIDE = ['-wal', '-shm'] as const

export function databaseIn(folder: string): string {
  return join(folder, DATABASE)
}

/** Says that the folder has held records; without it, a folder without records is a new one. */
const MARK = 'holds-records.txt'

/**
 * Opens the records of a folder that this process has locked, or begins them in a new one. Records that are gone, or empty,
 * are not replaced by new ones without a word; and damage is named before anything is built on it. `damage`: what is wrong
 * with readings of the past, none of which keeps a batch from going on.
 */
export function openRecords(folder: string): {
  readonly store: SqliteStore
  readonly damage: readonly string[]
} {
  const file = databaseIn(folder)
  const mark = join(folder, MARK)
  if (existsSync(mark) && (!existsSync(file) || isCertainlyEmpty(file))) {
    throw new StoreError(
      'gone',
      `${folder} has held the records of a cellar, but they are gone: ${file} is ${existsSync(file) ? 'empty' : 'not there'}. ` +
        `Restore a backup (attemper restore FILE --data ${folder}), or put the file back. To begin anew in this folder, remove ${mark}.`,
    )
  }
  const store = openSqliteStore(file)
  try {
    const damage = store.quickCheck()
    if (!existsSync(mark)) {
      writeFileSync(
        mark,
        'This folder holds the records of a cellar. Without them no cellar starts here.\n',
        {
          mode: PRIVATE_FILE,
        },
      )
    }
    return { store, damage }
  } catch (error) {
    store.close()
    throw error
  }
}

function isCertainlyEmpty(file: string): boolean {
  try {
    return isEmpty(file)
  } catch {
    // Whatever is in it, opening it says what is wrong.
    return false
  }
}

/** The records can not be put back; `message` says why, and what would be right. */
export class RestoreError extends Error {
  override readonly name = 'RestoreError'
}

/**
 * Puts the records of a backup into a data folder that no cellar uses at the moment. The backup is looked through first;
 * records that are there already are kept beside under the name that is returned, never deleted.
 */
export async function restoreBackup(
  file: string,
  folder: string,
  now_ms: number,
): Promise<{ readonly kept: string | null }> {
  const lock = lockFolder(folder, `process ${process.pid}, which restores a backup`)
  const target = databaseIn(folder)
  const part = `${target}.restored`
  try {
    copyFileSync(file, part)
    // A copy has the rights of the backup, which may have lain on a stick.
    chmodSync(part, PRIVATE_FILE)
    const fault = await faultOf(part)
    if (fault !== null) throw new RestoreError(`${file} is no good backup, and nothing was changed: ${fault}`)
    const kept = existsSync(target) ? keepAside(target, now_ms) : null
    sync(part)
    renameSync(part, target)
    sync(folder)
    return { kept }
  } finally {
    for (const end of ['', ...BESIDE]) rmSync(`${part}${end}`, { force: true })
    lock.release()
  }
}

/** Why a file can not become the records; null: it can. */
async function faultOf(file: string): Promise<string | null> {
  try {
    // Of an empty one, a new database would be made without a word.
    if (isEmpty(file)) return 'it holds no records of a cellar.'
    const store = openSqliteStore(file)
    try {
      const faults = await store.verify()
      return faults.length === 0 ? null : faults.slice(0, 3).join(' ')
    } finally {
      store.close()
    }
  } catch (error) {
    return error instanceof Error ? error.message : String(error)
  }
}

function isEmpty(file: string): boolean {
  const db = new DatabaseSync(file, { readOnly: true })
  try {
    return db.prepare('select count(*) as tables from sqlite_schema').get()?.tables === 0
  } finally {
    db.close()
  }
}

function keepAside(target: string, now_ms: number): string {
  const kept = `${target}.before-${new Date(now_ms).toISOString().slice(0, 19).replaceAll(':', '-')}`
  // The last transactions may still stand in the file beside.
  for (const end of BESIDE) if (existsSync(target + end)) renameSync(target + end, kept + end)
  renameSync(target, kept)
  return kept
}

function sync(path: string): void {
  const handle = openSync(path, 'r')
  fsyncSync(handle)
  closeSync(handle)
}
