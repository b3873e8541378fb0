import { createWriteStream, rmSync } from 'node:fs'
import { rename } from 'node:fs/promises'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import type { CellarClient } from '../cellar-client.ts'
import { RefusedError, UsageError } from '../exit-status.ts'

/** Fetches a copy of all records from a cellar that runs. The file gets its name only once it is complete; its size in bytes. */
export async function fetchBackup(client: CellarClient, file: string): Promise<number> {
  const { stream, length } = await client.bytes('/backup')
  const part = `${file}.part`
  // It holds what signs sessions, and passwords of mail servers.
  rmSync(part, { force: true })
  const target = createWriteStream(part, { mode: 0o600 })
  try {
    // The two types of the same streams, of the web and of Node, do not know each other.
    await pipeline(Readable.fromWeb(stream as Parameters<typeof Readable.fromWeb>[0]), target)
    if (length !== null && target.bytesWritten !== length) throw new Error('the end is missing')
    await rename(part, file)
    return target.bytesWritten
  } catch (error) {
    rmSync(part, { force: true })
    const { code, syscall, message } = error as NodeJS.ErrnoException
    if (syscall !== undefined) throw new UsageError(`${file} can not be written (${code}).`)
    throw new RefusedError(`The backup has not arrived whole, and nothing is kept of it: ${message}.`)
  }
}
