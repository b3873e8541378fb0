import { statSync } from 'node:fs'

interface Known {
  readonly file: string
  readonly device: number
  readonly inode: number
}

/**
 * Notices that the files of an open database are not there any more under their names, or are others: what is written then
 * goes into files that nobody will ever find again. SQLite itself says nothing of it.
 */
export class FileWatch {
  /** The log beside the file appears with the first write, and stays for as long as the database is open. */
  readonly #names: readonly string[]
  #known: readonly Known[] = []

  /** A database in memory has no files that could go. */
  constructor(file: string) {
    this.#names = file === ':memory:' ? [] : [file, `${file}-wal`]
  }

  /** What has happened to the files, as a sentence; null: nothing. */
  problem(): string | null {
    for (const name of this.#names) {
      const known = this.#known.find(({ file }) => file === name)
      const now = lookAt(name)
      if (known === undefined) {
        if (now !== null) this.#known = [...this.#known, now]
      } else if (now === null) return `${name} has been removed while the cellar runs.`
      else if (now.inode !== known.inode || now.device !== known.device) {
        return `${name} has been replaced by another file while the cellar runs.`
      }
    }
    return null
  }
}

function lookAt(file: string): Known | null {
  const stats = statSync(file, { throwIfNoEntry: false })
  return stats === undefined ? null : { file, device: stats.dev, inode: stats.ino }
}
