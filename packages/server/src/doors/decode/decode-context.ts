import type { Stream } from '../../store/store.ts'
import type { Refusal, RefusalCode, Report } from '../report.ts'
import type { Mapping } from './mapping.ts'

/** What the door knows of a message besides its body. */
export interface DecodeContext {
  /** The door is that of one vessel: names may leave it out, and may not name another. */
  readonly vessel?: string
  /** How to read JSON that is not SenML: a mapping, or the name of one of `mappings`. */
  readonly mapping?: Mapping | string
  readonly mappings?: Readonly<Record<string, Mapping>>
  /** Turns the names of a message into those of the vessel files; left out: they are the same. */
  readonly names?: NameBook
  readonly now_ms: number
}

export interface Decoded {
  /** In the order in which they were sent. */
  readonly reports: readonly Report[]
  /** For each report its position in what was sent, as refusals count. */
  readonly positions: readonly number[]
  readonly refused: readonly Refusal[]
}

/** Knows all vessels, their instruments and what these measure. */
export interface NameBook {
  find(stream: Stream): Found
}

export type Found =
  | { readonly found: true; readonly stream: Stream }
  | { readonly found: false; readonly code: RefusalCode; readonly message: string }

export function refuseAll(message: string, code: RefusalCode = 'wrong-shape'): Decoded {
  return { reports: [], positions: [], refused: [{ index: 0, code, message }] }
}

/** What became of each part of a message. */
export type Part = { readonly index: number; readonly report: Report } | { readonly refusal: Refusal }

export function sortParts(parts: readonly Part[]): Decoded {
  const taken: Extract<Part, { readonly report: Report }>[] = []
  const refused: Refusal[] = []
  for (const part of parts) {
    if ('report' in part) taken.push(part)
    else refused.push(part.refusal)
  }
  taken.sort((a, b) => a.index - b.index)
  return {
    reports: taken.map(({ report }) => report),
    positions: taken.map(({ index }) => index),
    refused: refused.sort((a, b) => a.index - b.index),
  }
}
