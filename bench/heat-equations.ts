import { INPUTS, NODES } from '@attemper/core/world/heat/network.ts'
import { FIRST_INPUT, SELF, type StepTable, WIDTH } from '@attemper/core/world/heat/step-table.ts'

/** x' = A x + B u of nodes and followers, rates in 1/s. */
export interface HeatEquations {
  readonly rows: number
  /** By row: `rows` factors of the state, then INPUTS of the inputs. */
  readonly factors: readonly (readonly number[])[]
}

/** 0.05 to this power is far below the rounding of doubles. */
const TERMS = 14

/**
 * The differential equations behind a table of exact steps: the logarithm of its step of one second, log(1 + X) = X -
 * X²/2 + X³/3 ..., which converges as no rate of a vessel comes near 1/s.
 */
export function heatEquations(table: StepTable): HeatEquations {
  const { rows, fine } = table
  const size = rows + INPUTS
  const x = Array.from({ length: size }, () => new Array<number>(size).fill(0))
  for (let r = 0; r < rows; r++) {
    const at = (rows + r) * WIDTH
    const row = x[r]!
    for (let c = 0; c < NODES; c++) row[c] = fine[at + c]!
    if (r >= NODES) row[r] = fine[at + SELF]!
    row[r]! -= 1
    for (let u = 0; u < INPUTS; u++) row[rows + u] = fine[at + FIRST_INPUT + u]!
  }
  let power = x
  const sum = x.map(row => row.slice())
  for (let n = 2; n <= TERMS; n++) {
    power = times(power, x)
    for (let r = 0; r < rows; r++) {
      for (let c = 0; c < size; c++) sum[r]![c]! += (power[r]![c]! * (n % 2 === 0 ? -1 : 1)) / n
    }
  }
  return { rows, factors: sum.slice(0, rows) }
}

function times(a: readonly (readonly number[])[], b: readonly (readonly number[])[]): number[][] {
  return a.map(row => row.map((_, c) => row.reduce((sum, factor, k) => sum + factor * b[k]![c]!, 0)))
}
