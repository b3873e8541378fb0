import type { Severity } from '../finding.ts'
import type { Place } from '../place.ts'
import type { ProofContext } from './context.ts'

/** What a rule has against a plan, its vessel or its beer; `proofRead` makes a Finding of it. */
export interface Complaint {
  /** Left out: the rule's usual severity. */
  readonly severity?: Severity
  readonly file: 'plan' | 'vessel' | 'beer'
  readonly place: Place
  /** What is wrong, one sentence with the numbers in it. */
  readonly message: string
  /** What would be right, with a number where possible. */
  readonly cure: string
}

/**
 * One item of the proof-reader. `title` and `why` are the rule's page in the documentation.
 *
 * Error: would do harm, or never work. Warning: probably not meant. Note: good to know.
 */
export interface Rule {
  readonly code: string
  readonly severity: Severity
  /** What it looks for, one sentence. */
  readonly title: string
  /** What happens in the cellar when nobody looks for it, one sentence. */
  readonly why: string
  check(context: ProofContext): readonly Complaint[]
}
