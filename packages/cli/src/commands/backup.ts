import { existsSync } from 'node:fs'
import { resolve } from 'node:path'
import type { Command } from '../command.ts'
import { DATA_OPTION, dataFolder } from '../data-option.ts'
import { EXIT, RefusedError, UsageError } from '../exit-status.ts'

/** Copies all records into one file, whether the cellar runs or not. */
export const BACKUP: Command = {
  name: 'backup',
  summary: 'Copies all records into one file, also while the cellar runs.',
  arguments: [{ name: 'FILE', about: 'the copy; a file of that name is replaced' }],
  options: [DATA_OPTION],
  needs: [],
  examples: ['attemper backup cellar.backup'],
  statuses: { good: 'copied', bad: 'the records can not be read, or the copy not be written' },
  async run(given, io) {
    const [file] = given.arguments as [string]
    const folder = dataFolder(given, io)
    const { databaseIn } = await import('@attemper/server/data-folder.ts')
    if (!existsSync(databaseIn(folder))) throw new UsageError(`There are no records in ${folder}.`)
    const { openSqliteStore } = await import('@attemper/server/store/sqlite/open.ts')
    const { StoreError } = await import('@attemper/server/store/store-error.ts')
    try {
      const store = openSqliteStore(databaseIn(folder))
      try {
        await store.backup(resolve(io.folder, file))
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
