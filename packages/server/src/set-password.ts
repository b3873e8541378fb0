import { databaseIn } from './data-folder.ts'
import { lockFolder } from './folder-lock.ts'
import { People, type Role } from './http/access/people.ts'
import { HttpProblem } from './http/errors.ts'
import { REAL_CLOCK } from './live/clock.ts'
import { openSqliteStore } from './store/sqlite/open.ts'

/** The password can not be set; `message` says why, and what would be right. */
export class PasswordError extends Error {
  override readonly name = 'PasswordError'
}

/** Sets a password in a data folder that no cellar uses at the moment: the first one, before it is opened to a network. */
export async function setPasswordIn(
  folder: string,
  name: string,
  role: Role,
  password: string,
): Promise<void> {
  const lock = lockFolder(folder, `process ${process.pid}, which sets a password`)
  try {
    const store = openSqliteStore(databaseIn(folder))
    try {
      await new People(store, REAL_CLOCK).put(name, role, password)
      const what = `set role and password of ${name} on the command line`
      store.appendAudit({ at_ms: REAL_CLOCK.now_ms(), who: 'attemper', what })
    } finally {
      store.close()
    }
  } catch (error) {
    if (!(error instanceof HttpProblem)) throw error
    throw new PasswordError([error.message, error.details.cure ?? ''].join(' ').trim())
  } finally {
    lock.release()
  }
}
