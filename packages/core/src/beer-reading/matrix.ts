/** Small symmetric matrices, rows one after the other. */
export type Matrix = Float64Array

export function diagonal(values: readonly number[]): Matrix {
  const size = values.length
  const made = new Float64Array(size * size)
  for (let i = 0; i < size; i++) made[i * size + i] = values[i]!
  return made
}

export function sum(a: Matrix, b: Matrix, factor = 1): Matrix {
  return a.map((value, index) => value + factor * b[index]!)
}

/** Lower triangle L with L Lᵀ = a; what is not positive definite is held up by a little on its diagonal. */
export function cholesky(a: Matrix, size: number): Matrix {
  const lower = new Float64Array(size * size)
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let rest = a[i * size + j]!
      for (let k = 0; k < j; k++) rest -= lower[i * size + k]! * lower[j * size + k]!
      lower[i * size + j] = i === j ? Math.sqrt(Math.max(rest, 1e-9)) : rest / lower[j * size + j]!
    }
  }
  return lower
}

/** Solves L x = b in place. */
export function solveLower(lower: Matrix, size: number, b: Float64Array): void {
  for (let i = 0; i < size; i++) {
    let rest = b[i]!
    for (let k = 0; k < i; k++) rest -= lower[i * size + k]! * b[k]!
    b[i] = rest / lower[i * size + i]!
  }
}

export function inverse(a: Matrix, size: number): Matrix {
  const lower = cholesky(a, size)
  const made = new Float64Array(size * size)
  const column = new Float64Array(size)
  for (let j = 0; j < size; j++) {
    column.fill(0)
    column[j] = 1
    solveLower(lower, size, column)
    for (let i = size - 1; i >= 0; i--) {
      let rest = column[i]!
      for (let k = i + 1; k < size; k++) rest -= lower[k * size + i]! * column[k]!
      column[i] = rest / lower[i * size + i]!
    }
    for (let i = 0; i < size; i++) made[i * size + j] = column[i]!
  }
  return made
}

export function timesVector(a: Matrix, size: number, x: ArrayLike<number>): Float64Array {
  const made = new Float64Array(size)
  for (let i = 0; i < size; i++) {
    let total = 0
    for (let j = 0; j < size; j++) total += a[i * size + j]! * x[j]!
    made[i] = total
  }
  return made
}

/** Mean and covariance of weighted points; `points` holds `size` numbers for each weight. */
export function momentsOf(points: Float64Array, weights: Float64Array, size: number) {
  const mean = new Float64Array(size)
  const covariance = new Float64Array(size * size)
  for (const [n, weight] of weights.entries()) {
    for (let i = 0; i < size; i++) mean[i]! += weight * points[n * size + i]!
  }
  for (const [n, weight] of weights.entries()) {
    for (let i = 0; i < size; i++) {
      const off = weight * (points[n * size + i]! - mean[i]!)
      for (let j = 0; j < size; j++) covariance[i * size + j]! += off * (points[n * size + j]! - mean[j]!)
    }
  }
  return { mean, covariance }
}
