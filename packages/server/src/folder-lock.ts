import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'
import { makePrivateFolder } from './private-folder.ts'
import { makePrivateFile, PRIVATE_FILE } from './store/private-file.ts'

/** The folder can not be taken; `message` says who has it, and what would be right. */
export class FolderInUse extends Error {
  override readonly name = 'FolderInUse'
}

export interface FolderLock {
  /** Who else can read or change what lies there, as sentences; empty: nobody. */
  readonly openings: readonly string[]
  /** Lets the folder go, for the next one. */
  release(): void
}

const LOCK = 'in-use.lock'
const HOLDER = 'in-use.txt'

/**
 * Only one process at a time may own a cellar's data folder: two would switch the same heater. The lock is one of the
 * operating system, taken through SQLite, so that it goes away with the process that holds it, however that ends; a file
 * beside it says who that is. Makes the folder when it is not there, and keeps others out of it.
 */
export function lockFolder(folder: string, holder: string): FolderLock {
  const openings = makePrivateFolder(folder)
  makePrivateFile(join(folder, LOCK))
  const lock = new DatabaseSync(join(folder, LOCK), { timeout: 0 })
  try {
    lock.exec('begin exclusive')
  } catch (error) {
    lock.close()
    if (!isBusy(error)) throw error
    throw new FolderInUse(
      `The data folder ${folder} is in use by ${holderOf(folder)}. Stop that first, or name another folder.`,
    )
  }
  writeFileSync(join(folder, HOLDER), `${holder}\n`, { mode: PRIVATE_FILE })
  return {
    openings,
    release() {
      if (!lock.isOpen) return
      rmSync(join(folder, HOLDER), { force: true })
      lock.exec('rollback')
      lock.close()
    },
  }
}

const SQLITE_BUSY = 5

function isBusy(error: unknown): boolean {
  return error instanceof Error && 'errcode' in error && (Number(error.errcode) & 0xff) === SQLITE_BUSY
}

function holderOf(folder: string): string {
  try {
    return readFileSync(join(folder, HOLDER), 'utf8').trim() || 'another process'
  } catch {
    return 'another process'
  }
}
