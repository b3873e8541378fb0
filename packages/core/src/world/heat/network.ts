/**
 * A linear thermal network: nodes with a heat capacity, joined to each other and to the inputs by conductances.
 * C dT/dt = sum of G (T_other - T) + heat. It is built from pairs, so every off-diagonal of A is non-negative and each row
 * of A plus its temperature inputs sums to zero; both are what the jump of the simulator rests on.
 */
export class HeatNetwork {
  readonly nodes: number
  readonly inputs: number
  /** nodes x nodes, 1/s. */
  readonly a: Float64Array
  /** nodes x inputs: 1/s for a temperature input, K/J for a heat input. */
  readonly b: Float64Array
  readonly capacities_J_per_K: Float64Array

  constructor(capacities_J_per_K: readonly number[], inputs: number) {
    this.nodes = capacities_J_per_K.length
    this.inputs = inputs
    this.capacities_J_per_K = Float64Array.from(capacities_J_per_K)
    this.a = new Float64Array(this.nodes * this.nodes)
    this.b = new Float64Array(this.nodes * inputs)
  }

  /** Heat flows between two nodes. */
  join(first: number, second: number, conductance_W_per_K: number): void {
    this.#pull(first, second, conductance_W_per_K)
    this.#pull(second, first, conductance_W_per_K)
  }

  /** Heat flows between a node and an input that is a temperature. */
  joinInput(node: number, input: number, conductance_W_per_K: number): void {
    const rate = conductance_W_per_K / this.capacities_J_per_K[node]!
    this.a[node * this.nodes + node]! -= rate
    this.b[node * this.inputs + input]! += rate
  }

  /** An input that is a heat flow, W, enters a node; `share` -1 takes it away. */
  heat(node: number, input: number, share = 1): void {
    this.b[node * this.inputs + input]! += share / this.capacities_J_per_K[node]!
  }

  #pull(node: number, other: number, conductance_W_per_K: number): void {
    const rate = conductance_W_per_K / this.capacities_J_per_K[node]!
    this.a[node * this.nodes + node]! -= rate
    this.a[node * this.nodes + other]! += rate
  }
}
