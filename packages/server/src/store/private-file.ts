import { closeSync, openSync } from 'node:fs'

/** Only whoever runs the cellar may read its records: they hold secrets of sessions and channels. */
export const PRIVATE_FILE = 0o600

/**
 * Makes an empty file that nobody else can read, where there is none. SQLite fills it, and gives the files that it keeps
 * beside a database the rights of that. Where it can not be made, SQLite says why in its own way.
 */
export function makePrivateFile(file: string): void {
  if (file === ':memory:') return
  try {
    closeSync(openSync(file, 'a', PRIVATE_FILE))
  } catch {
    // Whoever opens it next meets the same.
  }
}
