import { readFile } from 'node:fs/promises'
import { Turns } from '../turns.ts'

/** The kernel's files below a folder: / but in tests. */
export class KernelFiles {
  readonly #root: string
  readonly #turns = new Turns()

  constructor(root: string) {
    this.#root = root.replace(/\/+$/, '')
  }

  at(path: string): string {
    return `${this.#root}${path}`
  }

  /**
   * null: there is no such file. One after the other, since reading a probe takes a second in which a thread is held up,
   * and the platform has only a few for all files.
   */
  read(path: string): Promise<string | null> {
    return this.#turns.take('', async () => {
      try {
        return (await readFile(this.at(path), 'latin1')).trim()
      } catch (error) {
        const { code } = error as NodeJS.ErrnoException
        if (code === 'ENOENT' || code === 'ENOTDIR' || code === 'ENODEV') return null
        throw error
      }
    })
  }
}
