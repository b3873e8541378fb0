import { type ChildProcess, fork } from 'node:child_process'
import { once } from 'node:events'
import { fileURLToPath } from 'node:url'
import type { CellarOptions } from '@attemper/server/main.ts'

export interface Addresses {
  readonly url: string
  readonly mqttUrl: string
  readonly clock: { readonly origin_ms: number; readonly realOrigin_ms: number; readonly speed: number }
}

/** A cellar that runs as a process of its own. Loading its code takes longer than starting it, so that can be done ahead. */
export class CellarProcess {
  readonly #child: ChildProcess
  readonly #loaded: Promise<unknown>

  constructor() {
    this.#child = fork(fileURLToPath(new URL('./serve-child.ts', import.meta.url)), {
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
      execArgv: [],
    })
    this.#loaded = once(this.#child, 'message')
  }

  async start(options: Omit<CellarOptions, 'log'>): Promise<Addresses> {
    await this.#loaded
    const answer = once(this.#child, 'message')
    const end = once(this.#child, 'exit').then(([code]) => {
      throw new Error(`The cellar ended with status ${code} instead of starting.`)
    })
    this.#child.send(options)
    const [addresses] = (await Promise.race([answer, end])) as [Addresses]
    return addresses
  }

  /** As a power cut would. */
  async kill(): Promise<void> {
    if (this.#child.exitCode !== null || this.#child.signalCode !== null) return
    const ended = once(this.#child, 'exit')
    this.#child.kill('SIGKILL')
    await ended
  }
}
