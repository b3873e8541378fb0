import type { Clock } from './clock.ts'

/** What is less than this is the daily work of whatever keeps the clock right, s. Common practice, no source. */
export const NOTICED_S = 60

/** Notices that the machine's clock has been set, by comparing it with one that nobody can set. */
export class ClockWatch {
  readonly #clock: Clock
  #clock_ms: number
  #steady_ms: number

  constructor(clock: Clock) {
    this.#clock = clock
    this.#clock_ms = clock.now_ms()
    this.#steady_ms = clock.steady_ms?.() ?? 0
  }

  /** How far the clock was set since the last look, whole s; negative: put back; 0: not at all, or by hardly anything. */
  look_s(): number {
    const clock_ms = this.#clock.now_ms()
    const steady_ms = this.#clock.steady_ms?.()
    const by_ms = clock_ms - this.#clock_ms
    // Without a steady clock, only a clock that goes back shows that it was set.
    const passed_ms = steady_ms === undefined ? Math.max(0, by_ms) : steady_ms - this.#steady_ms
    this.#clock_ms = clock_ms
    this.#steady_ms = steady_ms ?? 0
    const set_s = Math.round((by_ms - passed_ms) / 1000)
    return Math.abs(set_s) > NOTICED_S ? set_s : 0
  }
}
