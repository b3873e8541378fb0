import { leastSquares } from './least-squares.ts'

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

/** The curve through the points with the least squares. */
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
  return unpack(leastSquares(misses, [guess.first_P, guess.last_P, guess.slope_per_h, guess.middle_h]))
}
