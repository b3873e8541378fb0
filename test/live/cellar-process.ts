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

  /** @param largestFile_B no file of it can grow beyond this, as on a full disk; left out: any size */
  constructor(largestFile_B?: number) {
    const stdio = ['ignore', 'ignore', 'inherit', 'ipc'] as const
    const program = fileURLToPath(new URL('./serve-child.ts', import.meta.url))
    this.#child =
      largestFile_B === undefined
        ? fork(program, { stdio: [...stdio], execArgv: [] })
        : fork(program, {
            stdio: [...stdio],
            execPath: '/bin/sh',
            // A shell counts in blocks of 512 bytes (POSIX), and a program is told of the limit unless it looks away.
            execArgv: [
              '-c',
              `trap '' XFSZ; ulimit -f ${Math.floor(largestFile_B / 512)}; exec "$0" "$@"`,
              process.execPath,
            ],
          })
    this.#loaded = once(this.#child, 'message')
  }

  /** Sets the clock of its machine by so much, as far as it can tell. */
  setClock(by_ms: number): void {
    this.#child.send({ setClock_ms: by_ms })
  }

  /** @param clock_ms how far the clock of its machine is set */
  async start(options: Omit<CellarOptions, 'log'>, clock_ms = 0): Promise<Addresses> {
    await this.#loaded
    const answer = once(this.#child, 'message')
    const end = once(this.#child, 'exit').then(([code]) => {
      throw new Error(`The cellar ended with status ${code} instead of starting.`)
    })
    this.#child.send({ ...options, setClock_ms: clock_ms })
    const [addresses] = (await Promise.race([answer, end])) as [Addresses]
    return addresses
  }

  /** It stands still, and its lines stay open: as when the network swallows everything. */
  freeze(): void {
    this.#child.kill('SIGSTOP')
  }

  thaw(): void {
    this.#child.kill('SIGCONT')
  }

  /** As a power cut would. */
  async kill(): Promise<void> {
    if (this.#child.exitCode !== null || this.#child.signalCode !== null) return
    const ended = once(this.#child, 'exit')
    this.#child.kill('SIGKILL')
    await ended
  }
}
