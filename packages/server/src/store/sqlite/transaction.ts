import type { DatabaseSync } from 'node:sqlite'

/** All or nothing: what `work` wrote is on disk when this returns; when it throws, nothing of it is. */
export function inTransaction<Result>(db: DatabaseSync, work: () => Result): Result {
  db.exec('begin immediate')
  try {
    const result = work()
    db.exec('commit')
    return result
  } catch (error) {
    // After a full disk SQLite may have rolled back by itself.
    if (db.isTransaction) db.exec('rollback')
    throw error
  }
}
