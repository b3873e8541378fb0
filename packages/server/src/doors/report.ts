import type { Stream } from '../store/store.ts'

/** A reading as a door hands it in: names of the vessel file, value in the quantity's own unit (°C, SG, Pa, ...). */
export interface Report extends Stream {
  readonly value: number
  /** When it was taken, on the cellar's clock. */
  readonly at_ms: number
  readonly status: 'good' | 'uncertain' | 'bad'
}

export interface Refusal {
  /** Position of the refused item in what was sent. */
  readonly index: number
  readonly code: RefusalCode
  /** What is wrong and what would be right. */
  readonly message: string
}

export type RefusalCode =
  | 'unknown-vessel'
  | 'unknown-instrument'
  | 'unknown-quantity'
  | 'not-a-number'
  | 'out-of-range'
  | 'time-in-future'
  | 'time-too-old'
  | 'wrong-shape'
  | 'too-many'

/** What a door answers: all that was not refused is on disk. */
export interface Receipt {
  readonly stored: number
  readonly repeated: number
  readonly refused: readonly Refusal[]
}

/** Where every door hands in what it heard; resolves when it is on disk and the batches have been told. */
export interface Intake {
  accept(reports: readonly Report[], door: string): Promise<Receipt>
}
