import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { setTimeout as wait } from 'node:timers/promises'

/**
 * Runs the program that holds the line, and ends it when its own input ends: when it is told so, and also when the cellar
 * dies, however it dies. Then it sets the line to off once more, since some kernels keep the last value of a line that
 * nobody holds.
 *
 * $1: program; $2: words to hold the line; $3: words to set it to off.
 */
const GUARD = `
exec 3<&0
"$1" $2 3<&- &
holder=$!
{ read -r _ <&3; kill "$holder"; } 2>/dev/null &
watcher=$!
trap 'kill "$holder" 2>/dev/null' TERM INT HUP
wait "$holder"
code=$?
kill "$holder" 2>/dev/null && wait "$holder"
kill "$watcher" 2>/dev/null
if [ "$code" -eq 0 ] || [ "$code" -gt 128 ]; then "$1" $3 3<&-; fi
exit "$code"
`

const ENDS_WITHIN_MS = 3000
const MOST_SAID = 500

/** A line that a program of its own holds at a value. */
export class HeldLine {
  readonly on: boolean
  readonly #child: ChildProcess
  readonly #ended: Promise<unknown>
  #said = ''
  #hasEnded = false

  constructor(on: boolean, program: string, hold: readonly string[], offOnce: readonly string[]) {
    this.on = on
    // In a group of its own: an interrupt from the keyboard is the cellar's affair.
    this.#child = spawn('sh', ['-c', GUARD, 'sh', program, hold.join(' '), offOnce.join(' ')], {
      detached: true,
      stdio: ['pipe', 'ignore', 'pipe'],
    })
    this.#child.stdin!.on('error', () => undefined)
    this.#child.stderr!.on('data', (chunk: Buffer) => {
      this.#said = (this.#said + chunk.toString()).slice(0, MOST_SAID)
    })
    this.#ended = new Promise<void>(resolve => {
      const end = (fault?: Error) => {
        if (fault instanceof Error) this.#said = fault.message
        this.#hasEnded = true
        resolve()
      }
      this.#child.on('error', end)
      // Lets the holder go, if only the guard was killed.
      this.#child.on('exit', () => this.#child.stdin!.destroy())
      this.#child.on('close', () => end())
    })
  }

  get isHeld(): boolean {
    return !this.#hasEnded
  }

  /** The program says nothing when it has the line; when it can not have it, it ends soon. Rejects with what it said. */
  async settled(within_ms: number): Promise<void> {
    const calledOff = new AbortController()
    await Promise.race([
      this.#ended,
      wait(within_ms, undefined, { signal: calledOff.signal }).catch(() => undefined),
    ])
    calledOff.abort()
    if (this.#hasEnded)
      throw new Error(this.#said.trim().split('\n')[0] || 'the program that holds it has ended')
  }

  /** Resolves when the line is off and nobody holds it any more. */
  async release(): Promise<void> {
    if (this.#hasEnded) return
    this.#child.stdin!.end()
    const calledOff = new AbortController()
    const late = wait(ENDS_WITHIN_MS, 'late', { signal: calledOff.signal }).catch(() => null)
    if ((await Promise.race([this.#ended, late])) === 'late' && this.#child.pid !== undefined) {
      process.kill(-this.#child.pid, 'SIGKILL')
      if (!this.#hasEnded) await once(this.#child, 'close')
    }
    calledOff.abort()
  }
}
