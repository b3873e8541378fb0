import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { homedir } from 'node:os'
import { join } from 'node:path'
import type { Io } from '../io.ts'

const FILE = 'sessions.json'

/** The cookie with which this person is known at a cellar; null: not signed in there. */
export function sessionAt(io: Io, url: string): string | null {
  return readSessions(io)[url] ?? null
}

/** Keeps a session in a file that only its owner can read. */
export function keepSession(io: Io, url: string, cookie: string): void {
  const folder = folderOf(io)
  mkdirSync(folder, { recursive: true, mode: 0o700 })
  const file = join(folder, FILE)
  writeFileSync(file, `${JSON.stringify({ ...readSessions(io), [url]: cookie }, null, 2)}\n`, { mode: 0o600 })
}

function folderOf(io: Io): string {
  return join(io.env.XDG_STATE_HOME || join(io.env.HOME ?? homedir(), '.local', 'state'), 'attemper')
}

function readSessions(io: Io): Readonly<Record<string, string>> {
  try {
    const sessions: unknown = JSON.parse(readFileSync(join(folderOf(io), FILE), 'utf8'))
    return typeof sessions === 'object' && sessions !== null ? (sessions as Record<string, string>) : {}
  } catch {
    // Not there, or not readable any more: whoever needs a session signs in again.
    return {}
  }
}
