import type { Clock } from '../live/clock.ts'

/**
 * How fast one client may speak: a bucket that fills with a steady trickle and empties by one for each message. A float
 * needs one message in minutes; a device gone mad sends thousands each second, and must not hold up the others.
 */
export class Bucket {
  readonly #clock: Clock
  readonly #perSecond: number
  readonly #most: number
  #level: number
  #at_ms: number

  constructor(clock: Clock, perSecond: number, most: number) {
    this.#clock = clock
    this.#perSecond = perSecond
    this.#most = most
    this.#level = most
    this.#at_ms = clock.now_ms()
  }

  /** Takes one if there is one. */
  take(): boolean {
    this.#fill()
    if (this.#level < 1) return false
    this.#level--
    return true
  }

  /** Takes one in any case; how long to wait for it, in real milliseconds. */
  reserve_ms(): number {
    this.#fill()
    this.#level--
    return this.#level >= 0 ? 0 : (-this.#level / this.#perSecond) * 1000
  }

  #fill(): void {
    const now_ms = this.#clock.now_ms()
    // The cellar's clock may run fast, or be set back.
    const passed_s = Math.max(0, (now_ms - this.#at_ms) / this.#clock.speed / 1000)
    this.#at_ms = now_ms
    this.#level = Math.min(this.#most, this.#level + passed_s * this.#perSecond)
  }
}
