import { matrixExponential } from './matrix-exponential.ts'
import type { HeatNetwork } from './network.ts'

/**
 * Something that follows the network without acting on it: x' = nodes·T + self·x + inputs·u, rates in 1/s. The lag of a
 * thermometer is one, an energy counter (self 0) another.
 */
export interface Follower {
  readonly nodes: readonly number[]
  readonly self: number
  readonly inputs: readonly number[]
}

/** Longest step of the table, s; also the distance of the grid on which the world keeps its anchors. */
export const GRID_S = 60
/** The long window over which the movement of a follower is bounded, in grid steps. */
export const LONG_STEPS = 5

/**
 * Exact steps of 0 to 60 whole seconds for one switching state of the plant, inputs constant: row r of step k gives the
 * value of node or follower r after k seconds as inputs·u + nodes·T + self·x_r.
 *
 * Every value of the world comes from one of these rows, applied to an anchor, so a simulator that jumps and one that asks
 * at every second read the same bits. `reach` sums the rows of all seconds of a window: as exp(At) is non-negative, and
 * successive differences of the state are exp(A m) times the first one, reach·(first difference) bounds how far a follower
 * can get within the window.
 */
export class StepTable {
  readonly nodes: number
  readonly rows: number
  readonly inputs: number
  /** Numbers in a row: nodes, self, inputs. */
  readonly width: number
  readonly table: Float64Array
  /** Per row: nodes, self, summed over the seconds 0..59 and 0..299. */
  readonly reach: Float64Array
  readonly longReach: Float64Array

  constructor(network: HeatNetwork, followers: readonly Follower[]) {
    const { nodes, inputs } = network
    const rows = nodes + followers.length
    const width = nodes + 1 + inputs
    this.nodes = nodes
    this.rows = rows
    this.inputs = inputs
    this.width = width
    const block = rows * width
    const table = new Float64Array((GRID_S + 1) * block)
    this.table = table
    for (let r = 0; r < rows; r++) table[r * width + Math.min(r, nodes)] = 1
    this.#firstStep(network, followers)
    const reach = new Float64Array(rows * (nodes + 1))
    for (let k = 1; k <= GRID_S; k++) {
      if (k > 1) this.#composeRows(k)
      const from = (k - 1) * block
      for (let r = 0; r < rows; r++) {
        for (let c = 0; c <= nodes; c++) reach[r * (nodes + 1) + c]! += table[from + r * width + c]!
      }
    }
    this.reach = reach
    this.longReach = this.#lengthen(reach)
  }

  /** Step 1 from the exponential of the augmented matrix: nodes, followers, inputs. */
  #firstStep(network: HeatNetwork, followers: readonly Follower[]): void {
    const { nodes, rows, inputs, width, table } = this
    const size = rows + inputs
    const augmented = new Float64Array(size * size)
    for (let r = 0; r < nodes; r++) {
      for (let c = 0; c < nodes; c++) augmented[r * size + c] = network.a[r * nodes + c]!
      for (let u = 0; u < inputs; u++) augmented[r * size + rows + u] = network.b[r * inputs + u]!
    }
    for (let f = 0; f < followers.length; f++) {
      const follower = followers[f]!
      const row = (nodes + f) * size
      for (let c = 0; c < nodes; c++) augmented[row + c] = follower.nodes[c]!
      augmented[row + nodes + f] = follower.self
      for (let u = 0; u < inputs; u++) augmented[row + rows + u] = follower.inputs[u]!
    }
    const step = matrixExponential(augmented, size, 1)
    const block = rows * width
    for (let r = 0; r < rows; r++) {
      const to = block + r * width
      for (let c = 0; c < nodes; c++) table[to + c] = step[r * size + c]!
      if (r >= nodes) table[to + nodes] = step[r * size + r]!
      for (let u = 0; u < inputs; u++) table[to + nodes + 1 + u] = step[r * size + rows + u]!
    }
  }

  /** Row r of step k is row r of step k - 1 applied to the state after one second. */
  #composeRows(k: number): void {
    const { nodes, rows, inputs, width, table } = this
    const block = rows * width
    for (let r = 0; r < rows; r++) {
      const before = (k - 1) * block + r * width
      const to = k * block + r * width
      const self = table[before + nodes]!
      const own = block + r * width
      for (let c = 0; c < nodes; c++) table[to + c] = self * table[own + c]!
      table[to + nodes] = self * table[own + nodes]!
      for (let u = nodes + 1; u < width; u++) table[to + u] = table[before + u]! + self * table[own + u]!
      for (let i = 0; i < nodes; i++) {
        const factor = table[before + i]!
        const from = block + i * width
        for (let c = 0; c < nodes; c++) table[to + c]! += factor * table[from + c]!
        for (let u = nodes + 1; u <= nodes + inputs; u++) table[to + u]! += factor * table[from + u]!
      }
    }
  }

  /** Sum over LONG_STEPS windows: each further one is the sum so far, seen from 60 s later, plus the first. */
  #lengthen(reach: Float64Array): Float64Array {
    const { nodes, rows, width, table } = this
    const span = nodes + 1
    const last = GRID_S * rows * width
    let sum = reach
    for (let n = 1; n < LONG_STEPS; n++) {
      const next = reach.slice()
      for (let r = 0; r < rows; r++) {
        const self = sum[r * span + nodes]!
        for (let c = 0; c <= nodes; c++) next[r * span + c]! += self * table[last + r * width + c]!
        for (let i = 0; i < nodes; i++) {
          const factor = sum[r * span + i]!
          for (let c = 0; c < nodes; c++) next[r * span + c]! += factor * table[last + i * width + c]!
        }
      }
      sum = next
    }
    return sum
  }
}
