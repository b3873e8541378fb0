/**
 * Parameters with the least sum of squared misses: Levenberg-Marquardt, derivatives by differences. For the handful of
 * parameters of a fermentation.
 */
export function leastSquares(
  misses: (parameters: readonly number[]) => readonly number[],
  guess: readonly number[],
  rounds = 60,
): number[] {
  const sumOfSquares = (values: readonly number[]) => values.reduce((sum, miss) => sum + miss * miss, 0)
  let best = [...guess]
  let here = misses(best)
  let cost = sumOfSquares(here)
  let damping = 1e-3
  for (let round = 0; round < rounds; round++) {
    const columns = best.map((value, j) => {
      const nudge = 1e-5 * Math.max(1e-2, Math.abs(value))
      const moved = misses(best.map((v, k) => (k === j ? v + nudge : v)))
      return moved.map((miss, i) => (miss - here[i]!) / nudge)
    })
    const right = columns.map(a => -a.reduce((sum, v, i) => sum + v * here[i]!, 0))
    const normal = columns.map(a => columns.map(b => a.reduce((sum, v, i) => sum + v * b[i]!, 0)))
    let improved = false
    for (let attempt = 0; attempt < 12 && !improved; attempt++) {
      const damped = normal.map((row, j) => row.map((v, k) => (j === k ? v * (1 + damping) : v)))
      const step = solve(damped, right)
      const trial = best.map((value, j) => value + step[j]!)
      const there = misses(trial)
      const trialCost = sumOfSquares(there)
      improved = trialCost < cost
      if (improved) {
        best = trial
        here = there
        cost = trialCost
        damping /= 5
      } else damping *= 5
    }
    if (!improved) break
  }
  return best
}

/** Gaussian elimination without pivoting: the damped normal matrix is positive definite. */
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
