import { INPUTS, NODES } from './network.ts'
import { FIRST_INPUT, GRID_S, SELF, type StepTable, WIDTH } from './step-table.ts'

/**
 * The heat of the world at one moment, and the only way forward from it: the rows of the present StepTable. Between two
 * anchors nothing switches and no input changes, so any value within the next 60 s is read off the anchor.
 *
 * The sums are written out in one fixed order, the inputs first, so that a value has the same bits whoever asks for it.
 */
export class Anchor {
  at_s: number
  table: StepTable
  state: Float64Array
  readonly inputs: Float64Array
  /** The inputs' part of a full step, kept because most steps are full and inputs rarely change. */
  readonly #fullInputs: Float64Array
  #fullInputsKnown = false
  /** The stretch before the last move; it ends at the anchor. */
  #before_s = Number.NaN
  #beforeState: Float64Array
  #beforeTable: StepTable
  readonly #beforeInputs: Float64Array

  constructor(at_s: number, table: StepTable, state: Float64Array, inputs: Float64Array) {
    this.at_s = at_s
    this.table = table
    this.state = state
    this.inputs = inputs
    this.#beforeTable = table
    this.#beforeInputs = inputs.slice()
    this.#beforeState = new Float64Array(state.length)
    this.#fullInputs = new Float64Array(state.length)
  }

  /** Call after the inputs or the table changed. */
  changed(table: StepTable): void {
    this.table = table
    this.#fullInputsKnown = false
  }

  /** Value of a node or follower `k` seconds after the anchor, 0 to 60. */
  valueAfter(row: number, k: number): number {
    return rowValue(this.table, row, k, this.state, this.inputs)
  }

  /** Value at a second before the anchor, not earlier than the anchor before; the same bits as it had when it was new. */
  valueBefore(row: number, t_s: number): number {
    return rowValue(this.#beforeTable, row, t_s - this.#before_s, this.#beforeState, this.#beforeInputs)
  }

  /** Puts the anchor `k` seconds later, 0 to 60. */
  move(k: number): void {
    if (k === 0) return
    const { state, inputs } = this
    const next = this.#beforeState
    if (k === GRID_S) this.#fullStep(next)
    else for (let row = 0; row < next.length; row++) next[row] = this.valueAfter(row, k)
    this.#beforeState = state
    this.#beforeTable = this.table
    this.#before_s = this.at_s
    const beforeInputs = this.#beforeInputs
    for (let u = 0; u < INPUTS; u++) beforeInputs[u] = inputs[u]!
    this.state = next
    this.at_s += k
  }

  #fullStep(next: Float64Array): void {
    const { state } = this
    const { table, rows } = this.table
    const given = this.#fullInputs
    if (!this.#fullInputsKnown) {
      for (let row = 0; row < rows; row++) given[row] = inputsPart(this.table, row, GRID_S, this.inputs)
      this.#fullInputsKnown = true
    }
    const x0 = state[0]!
    const x1 = state[1]!
    const x2 = state[2]!
    const x3 = state[3]!
    const x4 = state[4]!
    let at = GRID_S * rows * WIDTH
    for (let row = 0; row < rows; row++) {
      const value =
        given[row]! +
        table[at]! * x0 +
        table[at + 1]! * x1 +
        table[at + 2]! * x2 +
        table[at + 3]! * x3 +
        table[at + 4]! * x4
      next[row] = row < NODES ? value : value + table[at + SELF]! * state[row]!
      at += WIDTH
    }
  }
}

function rowValue(
  steps: StepTable,
  row: number,
  k: number,
  state: Float64Array,
  inputs: Float64Array,
): number {
  const { table } = steps
  const at = (k * steps.rows + row) * WIDTH
  const value =
    inputsPart(steps, row, k, inputs) +
    table[at]! * state[0]! +
    table[at + 1]! * state[1]! +
    table[at + 2]! * state[2]! +
    table[at + 3]! * state[3]! +
    table[at + 4]! * state[4]!
  return row < NODES ? value : value + table[at + SELF]! * state[row]!
}

function inputsPart(steps: StepTable, row: number, k: number, inputs: Float64Array): number {
  const { table } = steps
  const at = (k * steps.rows + row) * WIDTH + FIRST_INPUT
  return (
    table[at]! * inputs[0]! +
    table[at + 1]! * inputs[1]! +
    table[at + 2]! * inputs[2]! +
    table[at + 3]! * inputs[3]!
  )
}
