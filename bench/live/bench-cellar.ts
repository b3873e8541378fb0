import { type ChildProcess, fork } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'
import { fileURLToPath } from 'node:url'
import { databaseIn } from '@attemper/server/data-folder.ts'
import type { CellarAddresses, CellarQuestion } from './cellar-child.ts'

/** Runs with a folder that is there for so long only. */
export async function inFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), 'attemper-bench-'))
  try {
    return await work(folder)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** The real cellar in a process of its own. `BENCH_PROFILE=FOLDER` writes a profile of its processor time there. */
export class BenchCellar {
  readonly url: string
  readonly mqttUrl: string
  readonly #child: ChildProcess
  readonly #ended: Promise<unknown>

  private constructor(child: ChildProcess, { url, mqttUrl }: CellarAddresses) {
    this.url = url
    this.mqttUrl = mqttUrl
    this.#child = child
    this.#ended = once(child, 'exit')
  }

  /** Runs with a cellar whose records are in `folder`, and closes it. */
  static async run<T>(folder: string, work: (cellar: BenchCellar) => Promise<T>): Promise<T> {
    const profile = process.env.BENCH_PROFILE
    const child = fork(fileURLToPath(new URL('./cellar-child.ts', import.meta.url)), [folder], {
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
      execArgv: profile === undefined ? [] : ['--cpu-prof', `--cpu-prof-dir=${profile}`],
    })
    let said = ''
    child.stderr!.on('data', chunk => {
      said = `${said}${chunk}`.slice(-2000)
    })
    const failed = once(child, 'exit').then(() => {
      throw new Error(`the cellar ended too early: ${said.trim()}`)
    })
    failed.catch(() => undefined)
    try {
      const [addresses] = (await Promise.race([once(child, 'message'), failed])) as [CellarAddresses]
      const cellar = new BenchCellar(child, addresses)
      const result = await Promise.race([work(cellar), failed])
      await cellar.#close()
      return result
    } finally {
      child.kill('SIGKILL')
    }
  }

  /** Of the whole process since its birth, s. */
  async processorTime_s(): Promise<number> {
    const answer = once(this.#child, 'message')
    this.#child.send('processor time' satisfies CellarQuestion)
    const [time_s] = await answer
    return time_s as number
  }

  async addVessel(text: string): Promise<void> {
    const response = await fetch(`${this.url}/vessels`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-attemper': 'bench' },
      body: JSON.stringify({ text }),
    })
    if (!response.ok) throw new Error(await response.text())
  }

  async #close(): Promise<void> {
    this.#child.send('close' satisfies CellarQuestion)
    await this.#ended
  }
}

/** All readings in the records of a folder that no cellar uses. */
export function readingsIn(folder: string): number {
  const db = new DatabaseSync(databaseIn(folder), { readOnly: true })
  try {
    const row = db
      .prepare('select (select count(*) from recent) + (select coalesce(sum(count), 0) from block) as count')
      .get()
    return Number(row?.count)
  } finally {
    db.close()
  }
}
