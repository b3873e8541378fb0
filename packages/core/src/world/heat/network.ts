/** Every network has room for this many nodes and inputs, so that the hot loops can be written out. */
export const NODES = 5
export const INPUTS = 5

/**
 * A linear thermal network: nodes with a heat capacity, joined to each other and to the inputs by conductances.
 * C dT/dt = sum of G (T_other - T) + heat. It is built from pairs, so every off-diagonal of A is non-negative and each row
 * of A plus its temperature inputs sums to zero; both are what the jump of the simulator rests on. Nodes that a plant does
 * not have are joined to nothing and stay as they are.
 */
export class HeatNetwork {
  /** NODES x NODES, 1/s. */
  readonly a = new Float64Array(NODES * NODES)
  /** NODES x INPUTS: 1/s for a temperature input, K/J for a heat input. */
  readonly b = new Float64Array(NODES * INPUTS)
  readonly capacities_J_per_K: Float64Array

  /** Capacities of the nodes that are there; up to NODES. */
  constructor(capacities_J_per_K: readonly number[]) {
    this.capacities_J_per_K = new Float64Array(NODES).fill(1)
    this.capacities_J_per_K.set(capacities_J_per_K)
  }

  /** Heat flows between two nodes. */
  join(first: number, second: number, conductance_W_per_K: number): void {
    this.#pull(first, second, conductance_W_per_K)
    this.#pull(second, first, conductance_W_per_K)
  }

  /** Heat flows between a node and an input that is a temperature. */
  joinInput(node: number, input: number, conductance_W_per_K: number): void {
    const rate = conductance_W_per_K / this.capacities_J_per_K[node]!
    this.a[node * NODES + node]! -= rate
    this.b[node * INPUTS + input]! += rate
  }

  /** An input that is a heat flow, W, enters a node; `share` -1 takes it away. */
  heat(node: number, input: number, share = 1): void {
    this.b[node * INPUTS + input]! += share / this.capacities_J_per_K[node]!
  }

  #pull(node: number, other: number, conductance_W_per_K: number): void {
    const rate = conductance_W_per_K / this.capacities_J_per_K[node]!
    this.a[node * NODES + node]! -= rate
    this.a[node * NODES + other]! += rate
  }
}
