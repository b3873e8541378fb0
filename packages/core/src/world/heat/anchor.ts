import { GRID_S, type StepTable } from './step-table.ts'

/**
 * The heat of the world at one moment, and the only way forward from it: the rows of the present StepTable. Between two
 * anchors nothing switches and no input changes, so any value within the next 60 s is read off the anchor.
 */
export class Anchor {
  at_s: number
  table: StepTable
  state: Float64Array
  readonly inputs: Float64Array
  #spare: Float64Array
  /** The inputs' part of a full step, kept because most steps are full and inputs rarely change. */
  readonly #fullStep: Float64Array
  #fullStepKnown = false

  constructor(at_s: number, table: StepTable, state: Float64Array, inputs: Float64Array) {
    this.at_s = at_s
    this.table = table
    this.state = state
    this.inputs = inputs
    this.#spare = new Float64Array(state.length)
    this.#fullStep = new Float64Array(state.length)
  }

  /** Call after the inputs or the table changed. */
  changed(table: StepTable): void {
    this.table = table
    this.#fullStepKnown = false
  }

  /** Value of a node or follower `k` seconds after the anchor, 0 to 60. */
  valueAfter(row: number, k: number): number {
    const { table, width, nodes, rows } = this.table
    const { state } = this
    const at = (k * rows + row) * width
    let value = k === GRID_S ? this.#fullInputs()[row]! : this.#inputsPart(row, k)
    for (let c = 0; c < nodes; c++) value += table[at + c]! * state[c]!
    return row < nodes ? value : value + table[at + nodes]! * state[row]!
  }

  /** Puts the anchor `k` seconds later, 0 to 60. */
  move(k: number): void {
    if (k === 0) return
    const { table, width, nodes, rows } = this.table
    const { state } = this
    const next = this.#spare
    const full = k === GRID_S ? this.#fullInputs() : null
    let at = k * rows * width
    for (let row = 0; row < rows; row++) {
      let value = full === null ? this.#inputsPart(row, k) : full[row]!
      for (let c = 0; c < nodes; c++) value += table[at + c]! * state[c]!
      next[row] = row < nodes ? value : value + table[at + nodes]! * state[row]!
      at += width
    }
    this.#spare = state
    this.state = next
    this.at_s += k
  }

  #inputsPart(row: number, k: number): number {
    const { table, width, nodes, rows } = this.table
    const at = (k * rows + row) * width
    const { inputs } = this
    let value = 0
    for (let u = 0; u < inputs.length; u++) value += table[at + nodes + 1 + u]! * inputs[u]!
    return value
  }

  #fullInputs(): Float64Array {
    if (!this.#fullStepKnown) {
      for (let row = 0; row < this.table.rows; row++) this.#fullStep[row] = this.#inputsPart(row, GRID_S)
      this.#fullStepKnown = true
    }
    return this.#fullStep
  }
}
