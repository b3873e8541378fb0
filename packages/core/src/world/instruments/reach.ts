import { GRID_S, LONG_STEPS, SELF, SPAN } from '../heat/step-table.ts'
import type { Physics } from '../physics.ts'

/**
 * How far a thermometer can get from where it is at the anchor, within a window in which nothing switches: a bound that is
 * proved, not estimated (see StepTable).
 */
export class Reach {
  /** Largest rise and fall, K, both not negative; set by `within`. */
  rise_K = 0
  fall_K = 0
  /** What each node changes by in the first second. */
  readonly #first = new Float64Array(SELF)
  #anchor_s = Number.NaN
  #version = -1

  within(physics: Physics, row: number, long: boolean): void {
    const { anchor } = physics
    const sums = long ? anchor.table.longReach : anchor.table.reach
    const first = this.#first
    if (this.#anchor_s !== anchor.at_s || this.#version !== physics.version) {
      this.#anchor_s = anchor.at_s
      this.#version = physics.version
      for (let n = 0; n < SELF; n++) first[n] = anchor.valueAfter(n, 1) - anchor.state[n]!
    }
    const at = row * SPAN
    const own = sums[at + SELF]! * (anchor.valueAfter(row, 1) - anchor.state[row]!)
    let rise = Math.max(own, 0)
    let fall = Math.max(-own, 0)
    for (let n = 0; n < SELF; n++) {
      const part = sums[at + n]! * first[n]!
      if (part > 0) rise += part
      else fall -= part
    }
    this.rise_K = rise
    this.fall_K = fall
  }
}

export const SHORT_REACH_S = GRID_S
export const LONG_REACH_S = GRID_S * LONG_STEPS
