import { GRID_S, LONG_STEPS } from '../heat/step-table.ts'
import type { Physics } from '../physics.ts'

/**
 * How far a thermometer can get from where it is at the anchor, within a window in which nothing switches: a bound that is
 * proved, not estimated (see StepTable).
 */
export class Reach {
  /** Largest rise and fall, K, both not negative; set by `within`. */
  rise_K = 0
  fall_K = 0
  readonly #first: Float64Array
  #anchor_s = Number.NaN
  #version = -1

  constructor(nodes: number) {
    this.#first = new Float64Array(nodes)
  }

  within(physics: Physics, row: number, long: boolean): void {
    const { anchor } = physics
    const { nodes, reach, longReach } = anchor.table
    if (this.#anchor_s !== anchor.at_s || this.#version !== physics.version) {
      this.#anchor_s = anchor.at_s
      this.#version = physics.version
      for (let n = 0; n < nodes; n++) this.#first[n] = anchor.valueAfter(n, 1) - anchor.state[n]!
    }
    const sums = long ? longReach : reach
    const at = row * (nodes + 1)
    let rise = 0
    let fall = 0
    for (let n = 0; n <= nodes; n++) {
      const first = n < nodes ? this.#first[n]! : anchor.valueAfter(row, 1) - anchor.state[row]!
      const part = sums[at + n]! * first
      if (part > 0) rise += part
      else fall -= part
    }
    this.rise_K = rise
    this.fall_K = fall
  }
}

export const SHORT_REACH_S = GRID_S
export const LONG_REACH_S = GRID_S * LONG_STEPS
