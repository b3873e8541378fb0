/** What is wrong with the text of a value, and where in it. `offset` and `length` count UTF-16 code units. */
export interface ValueProblem {
  readonly code: ValueProblemCode
  readonly offset: number
  readonly length: number
  /** What is wrong, as one sentence. */
  readonly message: string
  /** What would be right, as one sentence. */
  readonly cure: string
}

export type ValueProblemCode =
  | 'missing-value'
  | 'not-a-number'
  | 'decimal-comma'
  | 'missing-unit'
  | 'misspelt-unit'
  | 'wrong-unit'
  | 'negative'
  | 'out-of-range'
  | 'calendar-duration'
  | 'bad-duration'
  | 'bad-date'
  | 'bad-time-of-day'
  | 'not-a-choice'

export type Parsed<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: ValueProblem }

export function parsed<T>(value: T): Parsed<T> {
  return { ok: true, value }
}

export function refused(
  code: ValueProblemCode,
  offset: number,
  length: number,
  message: string,
  cure: string,
): { readonly ok: false; readonly problem: ValueProblem } {
  return { ok: false, problem: { code, offset, length: Math.max(1, length), message, cure } }
}

/** The same problem, seen from a text in which this one begins at `offset`. */
export function moved<T>(result: Parsed<T>, offset: number): Parsed<T> {
  if (result.ok || offset === 0) return result
  return { ok: false, problem: { ...result.problem, offset: result.problem.offset + offset } }
}
