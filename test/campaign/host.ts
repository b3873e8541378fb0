import type { Clock } from '@attemper/server/live/clock.ts'
import type { Due, EventQueue } from './event-queue.ts'

/** How many cellar seconds pass in a real one: only what waits for real time (a disk, a snapshot) feels it. */
export const SPEED = 120

/**
 * The machine that the cellar runs on: its clock, which may be wrong, and its timers, which wait for true time whatever the
 * clock says. A timer belongs to the life in which it was set, and dies with it.
 */
export class Host implements Clock {
  readonly speed = SPEED
  /** What the machine's clock is ahead of the truth. */
  ahead_ms = 0
  life = 0
  readonly #queue: EventQueue
  /** Told of an error that nobody has caught: a real process would have ended. */
  readonly #onUncaught: (error: unknown) => void
  readonly #onRun: () => void

  constructor(queue: EventQueue, onRun: () => void, onUncaught: (error: unknown) => void) {
    this.#onRun = onRun
    this.#queue = queue
    this.#onUncaught = onUncaught
  }

  now_ms(): number {
    return Math.floor(this.#queue.now_ms + this.ahead_ms)
  }

  steady_ms(): number {
    return this.#queue.now_ms
  }

  /** Runs something of this life now; what it throws ends the process. */
  run(call: () => void): void {
    this.#onRun()
    try {
      call()
    } catch (error) {
      this.#onUncaught(error)
    }
  }

  later(wait_ms: number, call: () => void): Due {
    const { life } = this
    return this.#queue.after(Math.max(0, wait_ms) * SPEED, () => {
      if (life === this.life) this.run(call)
    })
  }

  every(wait_ms: number, call: () => void): Due {
    const { life } = this
    const due: Due = { at_ms: 0, number: 0, call }
    const again = () => {
      if (due.call === null || life !== this.life) return
      this.run(call)
      this.#queue.after(wait_ms * SPEED, again)
    }
    this.#queue.after(wait_ms * SPEED, again)
    return due
  }
}

type Globals = Record<
  'setTimeout' | 'clearTimeout' | 'setImmediate' | 'clearImmediate' | 'setInterval' | 'clearInterval',
  unknown
>

interface Handle {
  readonly due: Due
  unref(): Handle
  ref(): Handle
}

/** Lets microtasks and the platform's own work come to an end; kept from before the clocks are taken away. */
const platformImmediate = globalThis.setImmediate

export function platformTurn(): Promise<void> {
  return new Promise(resolve => platformImmediate(resolve))
}

/**
 * Takes the platform's clocks and timers away from everything in this thread: whoever asks for the time or sets a timer,
 * also deep inside of the cellar, is served by the simulated host. Returns how to give them back.
 */
export function takeClocks(host: () => Host): () => void {
  const globals = globalThis as unknown as Globals
  const kept = { ...pickTimers(globals) }
  const { now } = Date
  const measured = performance.now.bind(performance)
  const handle = (due: Due): Handle => {
    const self: Handle = { due, unref: () => self, ref: () => self }
    return self
  }
  const callOff = (given: Handle | undefined) => {
    if (given !== undefined && given !== null) given.due.call = null
  }
  globals.setTimeout = (call: () => void, wait_ms = 1) => handle(host().later(Math.max(1, wait_ms), call))
  globals.setImmediate = (call: () => void) => handle(host().later(0, call))
  globals.setInterval = (call: () => void, wait_ms: number) => handle(host().every(wait_ms, call))
  globals.clearTimeout = callOff
  globals.clearImmediate = callOff
  globals.clearInterval = callOff
  Date.now = () => host().now_ms()
  performance.now = () => host().now_ms() / SPEED
  return () => {
    Object.assign(globals, kept)
    Date.now = now
    performance.now = measured
  }
}

function pickTimers(globals: Globals): Globals {
  const { setTimeout, clearTimeout, setImmediate, clearImmediate, setInterval, clearInterval } = globals
  return { setTimeout, clearTimeout, setImmediate, clearImmediate, setInterval, clearInterval }
}
