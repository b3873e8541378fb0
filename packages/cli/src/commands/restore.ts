import type { Command } from '../command.ts'
import { DATA_OPTION, dataFolder } from '../data-option.ts'
import { EXIT, RefusedError, UsageError } from '../exit-status.ts'
import { requireFile } from '../text-file.ts'

/** Puts a backup into the data folder of a cellar that does not run. */
export const RESTORE: Command = {
  name: 'restore',
  summary: 'Puts the records of a backup back, while no cellar runs on them.',
  arguments: [{ name: 'FILE', about: 'the backup' }],
  options: [DATA_OPTION],
  needs: [],
  examples: ['attemper restore cellar.backup'],
  statuses: { good: 'restored', bad: 'the backup is damaged, or a cellar runs: nothing was changed' },
  async run(given, io) {
    const [file] = given.arguments as [string]
    const path = requireFile(file, io.folder)
    const folder = dataFolder(given, io)
    const { restoreBackup, RestoreError } = await import('@attemper/server/data-folder.ts')
    const { FolderInUse } = await import('@attemper/server/folder-lock.ts')
    try {
      const { kept } = await restoreBackup(path, folder, io.now_ms())
      io.out(`The records of ${file} are now in ${folder}.\n`)
      if (kept !== null) io.out(`What was there before is kept as ${kept}.\n`)
      return EXIT.good
    } catch (error) {
      if (error instanceof RestoreError || error instanceof FolderInUse) throw new RefusedError(error.message)
      const { code } = error as NodeJS.ErrnoException
      if (code === undefined) throw error
      throw new UsageError(`${folder} can not be written (${code}).`)
    }
  },
}
