import { matrixExponential } from './matrix-exponential.ts'
import { type HeatNetwork, INPUTS, NODES } from './network.ts'

/**
 * Something that follows the network without acting on it: x' = nodes·T + self·x + inputs·u, rates in 1/s. The lag of a
 * thermometer is one, an energy counter (self 0) another.
 */
export interface Follower {
  readonly nodes: readonly number[]
  readonly self: number
  readonly inputs: readonly number[]
}

/** The fine table has steps of whole seconds up to this one, the coarse table multiples of it. */
export const FINE_S = 60
/** The longest stretch that a table can span; also the usual grid of the world. */
export const COARSE_STEPS = 5
export const LONGEST_S = FINE_S * COARSE_STEPS

/** A row: what multiplies the nodes, the follower's own value, the inputs. */
export const SELF = NODES
export const FIRST_INPUT = NODES + 1
export const WIDTH = NODES + 1 + INPUTS
/** A row of reach: nodes and self. */
export const SPAN = NODES + 1

/**
 * Exact steps for one switching state of the plant, inputs constant: row r of a step gives the value of node or follower r
 * after it as inputs·u + nodes·T + self·x_r.
 *
 * Every value of the world comes from these rows, applied to the state at the beginning of a stretch, so a simulator that
 * jumps and one that asks at every second read the same bits. `reach` sums the rows of all seconds of a window: as exp(At)
 * is non-negative, and successive differences of the state are exp(A m) times the first one, reach·(first difference)
 * bounds how far a follower can get within the window.
 */
export class StepTable {
  readonly rows: number
  /** Steps of 0 to 60 s, row after row. */
  readonly fine: Float64Array
  /** Steps of 0 to 5 min. */
  readonly coarse: Float64Array
  /** Per row, summed over the seconds 0..59 and 0..299. */
  readonly reach: Float64Array
  readonly longReach: Float64Array

  constructor(network: HeatNetwork, followers: readonly Follower[]) {
    const rows = NODES + followers.length
    const block = rows * WIDTH
    this.rows = rows
    this.fine = emptyTable(rows, FINE_S)
    this.#firstStep(network, followers)
    for (let k = 2; k <= FINE_S; k++) composeStep(this.fine, rows, k)
    this.coarse = emptyTable(rows, COARSE_STEPS)
    this.coarse.set(this.fine.subarray(FINE_S * block), block)
    for (let k = 2; k <= COARSE_STEPS; k++) composeStep(this.coarse, rows, k)
    this.reach = sumOfSteps(this.fine, rows)
    this.longReach = this.#lengthen(this.reach)
  }

  /** Step 1 from the exponential of the augmented matrix: nodes, followers, inputs. */
  #firstStep(network: HeatNetwork, followers: readonly Follower[]): void {
    const { rows, fine: table } = this
    const size = rows + INPUTS
    const augmented = new Float64Array(size * size)
    for (let r = 0; r < NODES; r++) {
      for (let c = 0; c < NODES; c++) augmented[r * size + c] = network.a[r * NODES + c]!
      for (let u = 0; u < INPUTS; u++) augmented[r * size + rows + u] = network.b[r * INPUTS + u]!
    }
    followers.forEach((follower, n) => {
      const row = (NODES + n) * size
      augmented.set(follower.nodes, row)
      augmented[row + NODES + n] = follower.self
      augmented.set(follower.inputs, row + rows)
    })
    const step = matrixExponential(augmented, size, 1)
    for (let r = 0; r < rows; r++) {
      const to = (rows + r) * WIDTH
      for (let c = 0; c < NODES; c++) table[to + c] = step[r * size + c]!
      if (r >= NODES) table[to + SELF] = step[r * size + r]!
      for (let u = 0; u < INPUTS; u++) table[to + FIRST_INPUT + u] = step[r * size + rows + u]!
    }
  }

  /** Sum over COARSE_STEPS windows: each further one is the sum so far, seen from a minute later, plus the first. */
  #lengthen(reach: Float64Array): Float64Array {
    const { rows, coarse } = this
    const minute = rows * WIDTH
    let sum = reach
    for (let n = 1; n < COARSE_STEPS; n++) {
      const next = reach.slice()
      for (let r = 0; r < rows; r++) {
        const self = sum[r * SPAN + SELF]!
        for (let c = 0; c < SPAN; c++) next[r * SPAN + c]! += self * coarse[minute + r * WIDTH + c]!
        for (let i = 0; i < NODES; i++) {
          const factor = sum[r * SPAN + i]!
          for (let c = 0; c < NODES; c++) next[r * SPAN + c]! += factor * coarse[minute + i * WIDTH + c]!
        }
      }
      sum = next
    }
    return sum
  }
}

/** Step 0 is there, the others are to be filled in. */
function emptyTable(rows: number, steps: number): Float64Array {
  const table = new Float64Array((steps + 1) * rows * WIDTH)
  for (let r = 0; r < rows; r++) table[r * WIDTH + Math.min(r, SELF)] = 1
  return table
}

/** Row r of step k is row r of step k - 1 applied to the state after step 1. */
function composeStep(table: Float64Array, rows: number, k: number): void {
  const one = rows * WIDTH
  for (let r = 0; r < rows; r++) {
    const before = ((k - 1) * rows + r) * WIDTH
    const to = (k * rows + r) * WIDTH
    const own = one + r * WIDTH
    const t0 = table[before]!
    const t1 = table[before + 1]!
    const t2 = table[before + 2]!
    const t3 = table[before + 3]!
    const t4 = table[before + 4]!
    const self = table[before + SELF]!
    for (let c = 0; c < WIDTH; c++) {
      table[to + c] =
        (c >= FIRST_INPUT ? table[before + c]! : 0) +
        t0 * table[one + c]! +
        t1 * table[one + WIDTH + c]! +
        t2 * table[one + 2 * WIDTH + c]! +
        t3 * table[one + 3 * WIDTH + c]! +
        t4 * table[one + 4 * WIDTH + c]! +
        self * table[own + c]!
    }
  }
}

function sumOfSteps(table: Float64Array, rows: number): Float64Array {
  const sum = new Float64Array(rows * SPAN)
  for (let k = 0; k < FINE_S; k++) {
    for (let r = 0; r < rows; r++) {
      const from = (k * rows + r) * WIDTH
      for (let c = 0; c < SPAN; c++) sum[r * SPAN + c]! += table[from + c]!
    }
  }
  return sum
}
