import type { Clock } from '../../live/clock.ts'
import { placeOfAddress } from './place-of-address.ts'

export interface Limits {
  /** Wrong passwords from one address within the window. */
  readonly perAddress: number
  /** And for one name, from all addresses that are not familiar: somebody may own many of them. */
  readonly perName: number
  readonly window_ms: number
}

const USUAL: Limits = { perAddress: 5, perName: 30, window_ms: 15 * 60_000 }

interface Try {
  readonly place: string
  readonly name: string
  readonly at_ms: number
}

/**
 * Limits how often passwords may be tried. A try counts when it begins, not when it has failed, so that many at the same
 * time do not slip through; a right password takes back the tries for its name from its address, and no others: who knows one
 * password gets no more tries at another. Refused tries are not counted, so the list stays short, and a window after the
 * first tries there are new ones.
 *
 * Who uses up the tries for a name keeps it closed for addresses from which nobody has signed in by that name; its owner, at
 * home or at the usual telephone, gets in. Sessions that have begun and tokens are not touched by any of it.
 */
export class Attempts {
  readonly #clock: Clock
  readonly #limits: Limits
  #tries: Try[] = []

  constructor(clock: Clock, limits: Limits = USUAL) {
    this.#clock = clock
    this.#limits = limits
  }

  /** 0: it was counted and may go on. Otherwise in how many seconds trying again makes sense. */
  begin(address: string, name: string, isFamiliar = false): number {
    const now_ms = this.#clock.now_ms()
    // A clock that was set back must not lock anybody out for the time between.
    this.#tries = this.#tries.filter(
      one => one.at_ms > now_ms - this.#limits.window_ms && one.at_ms <= now_ms,
    )
    const place = placeOfAddress(address)
    const own = this.#tries.filter(one => one.place === place)
    const named = isFamiliar ? [] : this.#tries.filter(one => one.name === name)
    const full =
      own.length >= this.#limits.perAddress ? own : named.length >= this.#limits.perName ? named : []
    const first = full[0]
    if (first !== undefined) {
      return Math.max(1, Math.ceil((first.at_ms + this.#limits.window_ms - now_ms) / 1000))
    }
    this.#tries.push({ place, name, at_ms: now_ms })
    return 0
  }

  succeeded(address: string, name: string): void {
    const place = placeOfAddress(address)
    this.#tries = this.#tries.filter(one => one.place !== place || one.name !== name)
  }

  /** It was not tried after all. */
  takeBack(address: string, name: string): void {
    const place = placeOfAddress(address)
    const last = this.#tries.findLastIndex(one => one.place === place && one.name === name)
    if (last >= 0) this.#tries.splice(last, 1)
  }
}
