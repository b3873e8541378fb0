import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { stripVTControlCharacters } from 'node:util'
import { widthOf } from '@attemper/core/report/text/width.ts'
import { type RunningCellar, startCellar } from '@attemper/server/main.ts'
import { expect } from 'vitest'
import type { Io } from '../io.ts'
import { main } from '../main.ts'
import { memoryIo } from './memory-io.ts'

/** A folder, a real cellar with its records in it, and commands that are said there. */
export class CellarBench {
  readonly folder: string
  cellar: RunningCellar

  private constructor(folder: string, cellar: RunningCellar) {
    this.folder = folder
    this.cellar = cellar
  }

  static async open(): Promise<CellarBench> {
    const folder = mkdtempSync(join(tmpdir(), 'attemper-cellar-'))
    return new CellarBench(folder, await cellarIn(folder))
  }

  /** Ends the cellar, lets something be done to its data folder, and starts it again. */
  async restart(meanwhile: (dataDir: string) => void): Promise<void> {
    await this.cellar.close()
    meanwhile(join(this.folder, 'data'))
    this.cellar = await cellarIn(this.folder)
  }

  async close(): Promise<void> {
    await this.cellar.close()
    rmSync(this.folder, { recursive: true, force: true })
  }

  write(name: string, text: string): void {
    writeFileSync(join(this.folder, name), text)
  }

  /** Says a command; no line that it prints is wider than the terminal, unless it is data. */
  async run(words: readonly string[], changes: Partial<Io> = {}) {
    const io = memoryIo({ folder: this.folder, ...changes })
    const env = {
      ATTEMPER_CELLAR: this.cellar.url,
      ...io.env,
      XDG_STATE_HOME: join(this.folder, 'state'),
      ...changes.env,
    }
    const status = await main(words, { ...io, env })
    const lines = io.written.out.replaceAll('\r\u001b', '\n\u001b').split('\n')
    for (const line of words.includes('--json') ? [] : lines) {
      expect(widthOf(stripVTControlCharacters(line)), line).toBeLessThanOrEqual(io.columns)
    }
    return { status, ...io.written }
  }
}

function cellarIn(folder: string): Promise<RunningCellar> {
  const log = () => undefined
  return startCellar({ dataDir: join(folder, 'data'), host: '127.0.0.1', port: 0, mqttPort: 0, log })
}
