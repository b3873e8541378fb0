import { INPUTS, NODES } from './network.ts'
import { FINE_S, FIRST_INPUT, SELF, type StepTable, WIDTH } from './step-table.ts'

/**
 * A stretch of time in which nothing switches and no input changes, and the state at its beginning. A value k seconds later
 * is read off in two steps, whole minutes and then seconds, always from the beginning of the stretch.
 *
 * The sums are written out in one fixed order, the inputs first, so that a value has the same bits whoever asks for it.
 */
export class Stretch {
  at_s: number
  table: StepTable
  readonly state: Float64Array
  readonly inputs = new Float64Array(INPUTS)
  /** The state after `#minutes` whole minutes. */
  readonly #minuteState: Float64Array
  #minutes = 0
  /** What each node changes by in the second after `#changeMinute` minutes; -1: not known. */
  readonly #changes = new Float64Array(NODES)
  #changeMinute = -1

  constructor(rows: number, at_s: number, table: StepTable) {
    this.at_s = at_s
    this.table = table
    this.state = new Float64Array(rows)
    this.#minuteState = new Float64Array(rows)
  }

  /** Call when state, inputs or table have been set. */
  restart(table: StepTable): void {
    this.table = table
    this.#minutes = 0
    this.#changeMinute = -1
  }

  /** Value of a node or follower `k` seconds after the beginning. */
  value(row: number, k: number): number {
    const minutes = Math.floor(k / FINE_S)
    const state = this.stateAtMinute(minutes)
    const seconds = k - FINE_S * minutes
    return seconds === 0
      ? state[row]!
      : rowValue(this.table.fine, this.table.rows, seconds, row, state, this.inputs)
  }

  /** What a node or follower changes by in the second after that many whole minutes. */
  changeAtMinute(row: number, minutes: number): number {
    const state = this.stateAtMinute(minutes)
    const { fine, rows } = this.table
    return rowValue(fine, rows, 1, row, state, this.inputs) - state[row]!
  }

  /** The same of all nodes. */
  nodeChangesAtMinute(minutes: number): Float64Array {
    if (this.#changeMinute !== minutes) {
      this.#changeMinute = minutes
      const state = this.stateAtMinute(minutes)
      step(this.table.fine, this.table.rows, 1, state, this.inputs, this.#changes, NODES)
      for (let n = 0; n < NODES; n++) this.#changes[n]! -= state[n]!
    }
    return this.#changes
  }

  /** The whole state `k` seconds after the beginning. */
  stateAfter(k: number, result: Float64Array): void {
    const minutes = Math.floor(k / FINE_S)
    const seconds = k - FINE_S * minutes
    if (seconds === 0)
      step(this.table.coarse, this.table.rows, minutes, this.state, this.inputs, result, this.table.rows)
    else
      step(
        this.table.fine,
        this.table.rows,
        seconds,
        this.stateAtMinute(minutes),
        this.inputs,
        result,
        this.table.rows,
      )
  }

  /** Good until the next call with another minute. */
  stateAtMinute(minutes: number): Float64Array {
    if (minutes === 0) return this.state
    if (minutes !== this.#minutes) {
      step(
        this.table.coarse,
        this.table.rows,
        minutes,
        this.state,
        this.inputs,
        this.#minuteState,
        this.table.rows,
      )
      this.#minutes = minutes
    }
    return this.#minuteState
  }
}

/** The first `count` rows of step `k` of a table; the very sums of `rowValue`. */
function step(
  table: Float64Array,
  rows: number,
  k: number,
  state: Float64Array,
  inputs: Float64Array,
  result: Float64Array,
  count: number,
): void {
  const u0 = inputs[0]!
  const u1 = inputs[1]!
  const u2 = inputs[2]!
  const u3 = inputs[3]!
  const u4 = inputs[4]!
  const x0 = state[0]!
  const x1 = state[1]!
  const x2 = state[2]!
  const x3 = state[3]!
  const x4 = state[4]!
  let at = k * rows * WIDTH
  for (let row = 0; row < count; row++) {
    const value =
      table[at + FIRST_INPUT]! * u0 +
      table[at + FIRST_INPUT + 1]! * u1 +
      table[at + FIRST_INPUT + 2]! * u2 +
      table[at + FIRST_INPUT + 3]! * u3 +
      table[at + FIRST_INPUT + 4]! * u4 +
      table[at]! * x0 +
      table[at + 1]! * x1 +
      table[at + 2]! * x2 +
      table[at + 3]! * x3 +
      table[at + 4]! * x4
    result[row] = row < NODES ? value : value + table[at + SELF]! * state[row]!
    at += WIDTH
  }
}

function rowValue(
  table: Float64Array,
  rows: number,
  k: number,
  row: number,
  state: Float64Array,
  inputs: Float64Array,
): number {
  const at = (k * rows + row) * WIDTH
  const value =
    table[at + FIRST_INPUT]! * inputs[0]! +
    table[at + FIRST_INPUT + 1]! * inputs[1]! +
    table[at + FIRST_INPUT + 2]! * inputs[2]! +
    table[at + FIRST_INPUT + 3]! * inputs[3]! +
    table[at + FIRST_INPUT + 4]! * inputs[4]! +
    table[at]! * state[0]! +
    table[at + 1]! * state[1]! +
    table[at + 2]! * state[2]! +
    table[at + 3]! * state[3]! +
    table[at + 4]! * state[4]!
  return row < NODES ? value : value + table[at + SELF]! * state[row]!
}
