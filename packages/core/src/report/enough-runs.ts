/**
 * How much may be said after so many runs. What happened in none of n runs may still happen in others: the upper end of its
 * one-sided 95 % interval is 1 − 0.05^(1/n) (C. J. Clopper, E. S. Pearson 1934, Biometrika 26:404, for none of n), about 3/n
 * (the "rule of three": J. A. Hanley, A. Lippman-Hand 1983, JAMA 249:1743). Assumes that the runs are drawn independently,
 * which they are, and says nothing about whether the model is right.
 */
export function couldStill(runs: number): number {
  return runs <= 0 ? 1 : 1 - 0.05 ** (1 / runs)
}

/**
 * Fewer runs are no ground for a verdict: what none of them suffered could still happen in more than one run of seven, and
 * the ends of a 90 % interval are the runs at its ends. Common practice, no source.
 */
export const LEAST_RUNS = 20

/** "14 %", "1.5 %": as exact as it is worth. */
export function sayBound(share: number): string {
  return `${(100 * share).toFixed(share < 0.095 ? 1 : 0)} %`
}
