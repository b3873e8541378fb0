import { existsSync } from 'node:fs'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { type Command, JSON_OPTION } from '../command.ts'
import { DATA_OPTION, dataFolder } from '../data-option.ts'
import { EXIT, RefusedError, UsageError } from '../exit-status.ts'

/** Looks through the records of a data folder, whether a cellar runs on them or not. */
export const VERIFY: Command = {
  name: 'verify',
  summary: 'Looks through all records: whether each can be read, and whether they agree.',
  arguments: [],
  options: [DATA_OPTION, JSON_OPTION],
  needs: [],
  examples: ['attemper verify', 'attemper verify --data /var/lib/attemper --json'],
  statuses: { good: 'nothing is wrong', bad: 'something is damaged or missing' },
  async run(given, io) {
    const folder = dataFolder(given, io)
    const { databaseIn } = await import('@attemper/server/data-folder.ts')
    if (!existsSync(databaseIn(folder))) throw new UsageError(`There are no records in ${folder}.`)
    const faults = await faultsIn(databaseIn(folder))
    if (given.switch('json')) io.out(`${JSON.stringify({ folder, faults }, null, 2)}\n`)
    else if (faults.length === 0) {
      io.out(`Nothing is wrong with the records in ${folder}.\n`)
    } else {
      for (const fault of faults) io.out(`${paragraph(fault, io.columns, '- ', '  ')}\n`)
      io.out(`\n${paragraph('Restore the latest backup that is good: attemper restore FILE.', io.columns)}\n`)
    }
    return faults.length === 0 ? EXIT.good : EXIT.bad
  },
}

/** Damage that keeps the records from being opened at all is what is wrong with them, and no fault of the program. */
async function faultsIn(file: string): Promise<readonly string[]> {
  const { openSqliteStore } = await import('@attemper/server/store/sqlite/open.ts')
  const { StoreError } = await import('@attemper/server/store/store-error.ts')
  try {
    const store = openSqliteStore(file)
    try {
      return await store.verify()
    } finally {
      store.close()
    }
  } catch (error) {
    if (!(error instanceof StoreError)) throw error
    if (error.code === 'corrupt') return [error.message]
    throw new RefusedError(error.message)
  }
}
