import { existsSync } from 'node:fs'
import { resolve } from 'node:path'
import { fetchBackup } from '../cellar/fetch-backup.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import type { Command } from '../command.ts'
import { DATA_OPTION, dataFolder } from '../data-option.ts'
import { EXIT, RefusedError, UsageError } from '../exit-status.ts'

/** Copies all records into one file, whether the cellar runs or not, on this machine or another. */
export const BACKUP: Command = {
  name: 'backup',
  summary: 'Copies all records into one file, also while the cellar runs.',
  arguments: [{ name: 'FILE', about: 'the copy; a file of that name is replaced' }],
  options: [
    DATA_OPTION,
    {
      ...CELLAR_OPTION,
      about: 'fetch them from the cellar that answers there, instead of a folder of this machine',
    },
  ],
  needs: [],
  examples: [
    'attemper backup cellar.backup',
    'attemper backup cellar.backup --cellar http://192.168.1.20:1050',
  ],
  statuses: { good: 'copied', bad: 'the records can not be read, or the copy not be written' },
  async run(given, io) {
    const [file] = given.arguments as [string]
    if (given.text('cellar') !== undefined) {
      if (given.text('data') !== undefined) {
        throw new UsageError('--cellar and --data do not go together: the records come from one of the two.')
      }
      const client = cellarFor(given, io)
      const size_B = await fetchBackup(client, resolve(io.folder, file))
      io.out(`The records of ${client.url} are copied into ${file} (${(size_B / 1e6).toFixed(1)} MB).\n`)
      return EXIT.good
    }
    const folder = dataFolder(given, io)
    const { databaseIn } = await import('@attemper/server/data-folder.ts')
    if (!existsSync(databaseIn(folder))) throw new UsageError(`There are no records in ${folder}.`)
    const { openSqliteStore } = await import('@attemper/server/store/sqlite/open.ts')
    const { noteBackup } = await import('@attemper/server/start/last-backup.ts')
    const { StoreError } = await import('@attemper/server/store/store-error.ts')
    try {
      const store = openSqliteStore(databaseIn(folder))
      try {
        await store.backup(resolve(io.folder, file))
        noteBackup(store, io.now_ms())
      } finally {
        store.close()
      }
    } catch (error) {
      if (error instanceof StoreError) throw new RefusedError(error.message)
      const { code } = error as NodeJS.ErrnoException
      if (code === undefined) throw error
      throw new UsageError(`${file} can not be written (${code}).`)
    }
    io.out(`The records of ${folder} are copied into ${file}.\n`)
    return EXIT.good
  },
}
