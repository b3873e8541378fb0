import { DatabaseSync } from 'node:sqlite'
import { makePrivateFile } from '../private-file.ts'
import { migrate } from './migrations.ts'
import { toStoreError } from './sqlite-error.ts'
import { SqliteStore, type SqliteStoreOptions } from './sqlite-store.ts'

/**
 * Opens the file, or makes it, and brings it to the version of this software. Throws a StoreError when that can not be
 * done. Everything that has been stored survives a loss of power (WAL with synchronous FULL).
 */
export function openSqliteStore(file: string, options: SqliteStoreOptions = {}): SqliteStore {
  const db = openDatabase(file)
  try {
    return new SqliteStore(db, file, options)
  } catch (error) {
    // What it prepares for later finds pages that opening has not come upon.
    db.close()
    throw toStoreError(error, file)
  }
}

export function openDatabase(file: string): DatabaseSync {
  let db: DatabaseSync | null = null
  try {
    makePrivateFile(file)
    db = new DatabaseSync(file, { enableForeignKeyConstraints: true, timeout: 5_000 })
    // Blocks of about 2 kB then lie in their pages, without overflow. Only has an effect on a new file.
    db.exec('pragma page_size = 8192')
    db.exec('pragma journal_mode = wal')
    db.exec('pragma synchronous = full')
    db.exec('pragma journal_size_limit = 67108864')
    migrate(db, file)
    return db
  } catch (error) {
    db?.close()
    throw toStoreError(error, file)
  }
}
