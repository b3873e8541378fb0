import { open, rm } from 'node:fs/promises'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { Type } from 'typebox'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { problemsOfLook } from '../schemas.ts'

/** The media type of SQLite databases, as registered with IANA. */
const KIND = 'application/vnd.sqlite3'

/** One at a time, so the name never changes: what a crash leaves behind is replaced by the next one. */
const COPY = 'backup-to-be-fetched'

const Copy = Type.Unsafe<Readable>({
  description: 'One file, which `attemper restore` puts back.',
  content: { [KIND]: { schema: Type.String({ format: 'binary' }) } },
})

/**
 * GET /backup: a consistent copy of all records while the cellar runs. It holds the hashes of passwords and tokens too, so
 * only a person who may change things can have it.
 */
export function backupRoutes(app: HttpApp, { store, clock, copyFolder, onBackup }: HttpParts): void {
  let isBusy = false
  app.get(
    '/backup',
    {
      config: { needs: 'brewer', change: 'fetched a backup of all records' },
      schema: {
        summary: 'Fetch a backup',
        description:
          'A consistent copy of all records, made while the cellar runs. It needs as much room on the disk as the records for as long as it is fetched.',
        tags: ['cellar'],
        response: { 200: Copy, ...problemsOfLook('backup-busy', 'storage') },
      },
    },
    async (_, reply) => {
      if (copyFolder === undefined) throw new HttpProblem('storage', 'This cellar has no folder for a copy.')
      if (isBusy) throw new HttpProblem('backup-busy')
      isBusy = true
      const file = join(copyFolder, COPY)
      try {
        await store.backup(file)
        const copy = await open(file)
        // It goes on being there for whoever reads it, and leaves nothing behind.
        await rm(file)
        const { size } = await copy.stat()
        const stream = copy.createReadStream()
        stream.on('close', () => {
          isBusy = false
          if (stream.bytesRead === size) onBackup?.()
        })
        reply
          .type(KIND)
          .header('content-length', size)
          .header('content-disposition', `attachment; filename="${nameAt(clock.now_ms())}"`)
        return stream
      } catch (error) {
        isBusy = false
        await rm(file, { force: true })
        throw error
      }
    },
  )
}

/** attemper-2026-12-04.backup */
function nameAt(at_ms: number): string {
  return `attemper-${new Date(at_ms).toISOString().slice(0, 10)}.backup`
}
