/**
 * Logistic curve of apparent extract: Speers, Rogers and Smith, J. Inst. Brew. 109 (2003) 229-235; ASBC Yeast-14.
 * `slope_per_h` is positive here.
 */
export interface Logistic {
  readonly first_P: number
  readonly last_P: number
  readonly slope_per_h: number
  readonly middle_h: number
}

export function logistic_P(curve: Logistic, time_h: number): number {
  const { first_P, last_P, slope_per_h, middle_h } = curve
  return last_P + (first_P - last_P) / (1 + Math.exp(slope_per_h * (time_h - middle_h)))
}

/** Least squares by Gauss-Newton with a damped step (Levenberg-Marquardt), derivatives by differences. */
export function fitLogistic(
  times_h: readonly number[],
  extracts_P: readonly number[],
  guess: Logistic,
): Logistic {
  const unpack = (p: readonly number[]): Logistic => ({
    first_P: p[0]!,
    last_P: p[1]!,
    slope_per_h: p[2]!,
    middle_h: p[3]!,
  })
  const misses = (p: readonly number[]) =>
    times_h.map((time_h, i) => logistic_P(unpack(p), time_h) - extracts_P[i]!)
  const cost = (p: readonly number[]) => misses(p).reduce((sum, miss) => sum + miss * miss, 0)
  let best = [guess.first_P, guess.last_P, guess.slope_per_h, guess.middle_h]
  let damping = 1e-3
  for (let round = 0; round < 200; round++) {
    const here = misses(best)
    const columns = best.map((value, j) => {
      const nudge = 1e-6 * Math.max(1e-3, Math.abs(value))
      const moved = misses(best.map((v, k) => (k === j ? v + nudge : v)))
      return moved.map((miss, i) => (miss - here[i]!) / nudge)
    })
    const normal = columns.map((a, j) =>
      columns.map((b, k) => a.reduce((sum, v, i) => sum + v * b[i]!, 0) * (j === k ? 1 + damping : 1)),
    )
    const step = solve(
      normal,
      columns.map(a => -a.reduce((sum, v, i) => sum + v * here[i]!, 0)),
    )
    const trial = best.map((value, j) => value + step[j]!)
    if (cost(trial) < cost(best)) {
      best = trial
      damping /= 4
    } else damping *= 4
  }
  return unpack(best)
}

function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!])
  const size = rows.length
  for (let i = 0; i < size; i++) {
    const pivot = rows[i]!
    for (let k = i + 1; k < size; k++) {
      const factor = rows[k]![i]! / pivot[i]!
      for (let j = i; j <= size; j++) rows[k]![j]! -= factor * pivot[j]!
    }
  }
  const solution = new Array<number>(size).fill(0)
  for (let i = size - 1; i >= 0; i--) {
    let sum = rows[i]![size]!
    for (let j = i + 1; j < size; j++) sum -= rows[i]![j]! * solution[j]!
    solution[i] = sum / rows[i]![i]!
  }
  return solution
}
