import { type ChildProcess, fork } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** A small computer needs some seconds for it. */
const STARTS_WITHIN_ms = 60_000
const ENDS_WITHIN_ms = 15_000

const PROGRAM = fileURLToPath(new URL('./demo-process.ts', import.meta.url))

interface Running {
  readonly program: ChildProcess
  readonly url: Promise<string>
}

/**
 * A demonstration cellar in a process of its own, with records of its own that are thrown away: somebody who looks at an
 * empty cellar for the first time can see a full one, and nothing of it gets into their records.
 */
export class DemoBeside {
  #running: Running | null = null

  /** Its address. One that runs, or is starting, is not started a second time. */
  start(): Promise<string> {
    return (this.#running ?? this.#begin()).url
  }

  get isRunning(): boolean {
    return this.#running !== null
  }

  async stop(): Promise<void> {
    const running = this.#running
    if (running === null) return
    const { program } = running
    const ended = new Promise<void>(resolve => program.once('exit', () => resolve()))
    program.kill()
    const patience = setTimeout(() => program.kill('SIGKILL'), ENDS_WITHIN_ms)
    await ended
    clearTimeout(patience)
  }

  #begin(): Running {
    const folder = mkdtempSync(join(tmpdir(), 'attemper-demo-'))
    const program = fork(PROGRAM, [folder], { stdio: ['ignore', 'ignore', 'pipe', 'ipc'], execArgv: [] })
    let said = ''
    program.stderr?.on('data', (text: Buffer) => {
      said = `${said}${text.toString()}`.slice(-2000)
    })
    const url = new Promise<string>((resolve, reject) => {
      const patience = setTimeout(() => {
        reject(new Error(`The demonstration does not begin within ${STARTS_WITHIN_ms / 1000} s.`))
        program.kill('SIGKILL')
      }, STARTS_WITHIN_ms)
      program.once('message', message => {
        clearTimeout(patience)
        resolve(String(message))
      })
      program.once('exit', status => {
        clearTimeout(patience)
        this.#running = null
        // It removes its folder itself, unless it could not.
        rmSync(folder, { recursive: true, force: true })
        reject(new Error(`The demonstration ended at once (status ${status}). ${said}`))
      })
    })
    // Nobody may be waiting when it ends later.
    url.catch(() => undefined)
    this.#running = { program, url }
    return this.#running
  }
}
