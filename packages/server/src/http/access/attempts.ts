import type { Clock } from '../../live/clock.ts'

export interface Limits {
  /** Wrong passwords from one address within the window. */
  readonly perAddress: number
  /** And from all addresses together: somebody may own many of them. */
  readonly overall: number
  readonly window_ms: number
}

const USUAL: Limits = { perAddress: 5, overall: 30, window_ms: 15 * 60_000 }

/**
 * Limits how often passwords may be tried. A try counts when it begins, not when it has failed, so that many at the same
 * time do not slip through; a right password takes its own tries back. Refused tries are not counted, so the list
 * stays short, and a window after the first tries there are new ones. Somebody who uses up the tries of all keeps others
 * from signing in for that long; sessions that have begun and tokens are not touched by it.
 */
export class Attempts {
  readonly #clock: Clock
  readonly #limits: Limits
  #tries: { readonly address: string; readonly at_ms: number }[] = []

  constructor(clock: Clock, limits: Limits = USUAL) {
    this.#clock = clock
    this.#limits = limits
  }

  /** 0: it was counted and may go on. Otherwise in how many seconds trying again makes sense. */
  begin(address: string): number {
    const now_ms = this.#clock.now_ms()
    // A clock that was set back must not lock anybody out for the time between.
    this.#tries = this.#tries.filter(
      one => one.at_ms > now_ms - this.#limits.window_ms && one.at_ms <= now_ms,
    )
    const own = this.#tries.filter(one => one.address === address)
    const full =
      own.length >= this.#limits.perAddress
        ? own
        : this.#tries.length >= this.#limits.overall
          ? this.#tries
          : null
    const first = full?.[0]
    if (first !== undefined) {
      return Math.max(1, Math.ceil((first.at_ms + this.#limits.window_ms - now_ms) / 1000))
    }
    this.#tries.push({ address, at_ms: now_ms })
    return 0
  }

  succeeded(address: string): void {
    this.#tries = this.#tries.filter(one => one.address !== address)
  }
}
