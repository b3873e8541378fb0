/**
 * Where something stands in a source text, so that every message about a plan, a vessel or a beer can quote its line.
 * Lines and columns count from 1; `offset` and `length` count UTF-16 code units from the beginning of the text.
 */
export interface Place {
  readonly line: number
  readonly column: number
  readonly offset: number
  readonly length: number
}
