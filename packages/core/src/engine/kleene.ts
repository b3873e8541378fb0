/**
 * Three-valued logic after Kleene (strong): unknown means that the answer would depend on what is not known.
 * Coded as numbers so that `and` is the least and `or` the greatest: false 0, unknown 1, true 2.
 */
export type Truth = 0 | 1 | 2

export const FALSE: Truth = 0
export const UNKNOWN: Truth = 1
export const TRUE: Truth = 2

export function not(a: Truth): Truth {
  return (2 - a) as Truth
}

export function and(a: Truth, b: Truth): Truth {
  return a < b ? a : b
}

export function or(a: Truth, b: Truth): Truth {
  return a > b ? a : b
}

export function truthOf(a: boolean): Truth {
  return a ? TRUE : FALSE
}
