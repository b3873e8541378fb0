/**
 * A first-order model with dead time from two points of a step response: the times at which it has covered
 * 1 - e^(-1/3) = 28.3 % and 1 - e^(-1) = 63.2 % of its way. Exact for a process that is of first order with dead time.
 *
 * Source: the classical two-point method (C. L. Smith, 1972); from memory, checked against closed-form responses.
 */
export const FIRST_SHARE = 1 - Math.exp(-1 / 3)
export const SECOND_SHARE = 1 - Math.exp(-1)

/** Both times count from the step, in s. */
export function fitTwoPoints(
  first_s: number,
  second_s: number,
): { readonly lag_s: number; readonly deadTime_s: number } {
  const lag_s = 1.5 * (second_s - first_s)
  return { lag_s, deadTime_s: second_s - lag_s }
}
