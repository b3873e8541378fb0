/** How much a finding matters: an error stops a batch from being started, a warning should be read, a note explains. */
export type Severity = 'error' | 'warning' | 'note'

/**
 * What the reader of a file, the proof-reader or a rehearsal says about a plan, a vessel or a beer.
 * `code` is stable, so that a program can look it up without relying on the wording.
 */
export interface Finding {
  readonly severity: Severity
  readonly code: string
  /** Name of the file as the caller gave it. */
  readonly file: string
  /** Counted from 1. */
  readonly line: number
  /** Counted from 1, in UTF-16 code units. */
  readonly column: number
  /** How many code units of the line are meant; at least 1. */
  readonly length: number
  /** What is wrong, as one sentence. */
  readonly message: string
  /** What would be right, as one sentence. */
  readonly cure: string
}
