/**
 * exp(A t) of a small dense matrix, row by row in a Float64Array: Taylor series of the scaled matrix, then squaring.
 *
 * The scaled norm is at most 1/2, where the series has neither cancellation nor many terms, so the relative error stays
 * near the rounding of the squarings (some 1e-15 per squaring).
 */
export function matrixExponential(a: Float64Array, size: number, t: number): Float64Array {
  let norm = 0
  for (let i = 0; i < size; i++) {
    let sum = 0
    for (let j = 0; j < size; j++) sum += Math.abs(a[i * size + j]!)
    if (sum > norm) norm = sum
  }
  norm *= Math.abs(t)
  let squarings = 0
  while (norm > 0.5) {
    norm /= 2
    squarings++
  }
  let terms = 1
  for (let rest = norm; rest > 1e-18 && terms < 24; terms++) rest *= norm / (terms + 1)

  const scaled = a.map(value => (value * t) / 2 ** squarings)
  let result = identity(size)
  // Horner: I + X(I + X/2 (I + X/3 (...)))
  for (let n = terms; n >= 1; n--) {
    result = multiply(scaled, result, size)
    for (let i = 0; i < result.length; i++) result[i]! /= n
    for (let i = 0; i < size; i++) result[i * size + i]! += 1
  }
  for (let n = 0; n < squarings; n++) result = multiply(result, result, size)
  return result
}

export function identity(size: number): Float64Array {
  const result = new Float64Array(size * size)
  for (let i = 0; i < size; i++) result[i * size + i] = 1
  return result
}

export function multiply(a: Float64Array, b: Float64Array, size: number): Float64Array {
  const result = new Float64Array(size * size)
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < size; k++) {
      const factor = a[i * size + k]!
      // Rows of inputs and of probes are nearly empty.
      if (factor === 0) continue
      for (let j = 0; j < size; j++) result[i * size + j]! += factor * b[k * size + j]!
    }
  }
  return result
}
