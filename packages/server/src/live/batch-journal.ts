import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { Store } from '../store/store.ts'
import { type OnTrouble, reasonOf } from './trouble.ts'

/** Entries that wait for a disk with room again; beyond this the oldest are given up, and the trouble says so. */
const MOST_WAITING = 20_000

/**
 * Writes one batch's journal. When the records can not be written (a full disk), the batch must go on being controlled:
 * what could not be written waits here, and goes out with the next attempt, in order.
 */
export class BatchJournal {
  readonly #store: Pick<Store, 'appendJournal'>
  readonly #batch: string
  readonly #onTrouble: OnTrouble
  #waiting: JournalEntry[] = []
  #isFailing = false
  #failingSince_ms = 0
  /** When the last attempt was made. */
  triedAt_ms: number

  constructor(store: Pick<Store, 'appendJournal'>, batch: string, now_ms: number, onTrouble: OnTrouble) {
    this.#store = store
    this.#batch = batch
    this.#onTrouble = onTrouble
    this.triedAt_ms = now_ms
  }

  /** Since when nothing can be written; null: it can. */
  get failingSince_ms(): number | null {
    return this.#isFailing ? this.#failingSince_ms : null
  }

  get isBehind(): boolean {
    return this.#waiting.length > 0
  }

  /** Whether all is on disk now. */
  write(entries: readonly JournalEntry[], state: EngineState | null, now_ms: number): boolean {
    this.triedAt_ms = now_ms
    const all = this.#waiting.length === 0 ? entries : [...this.#waiting, ...entries]
    try {
      this.#store.appendJournal(this.#batch, all, state)
    } catch (error) {
      this.#waiting = all.slice(-MOST_WAITING)
      this.#fail(reasonOf(error), all.length - this.#waiting.length)
      return false
    }
    this.#waiting = []
    if (this.#isFailing) {
      this.#isFailing = false
      this.#onTrouble({ kind: 'records kept again', what: 'journal', batch: this.#batch })
    }
    return true
  }

  #fail(reason: string, lost: number): void {
    if (lost > 0) this.#onTrouble({ kind: 'entries lost', count: lost, reason, batch: this.#batch })
    if (this.#isFailing) return
    this.#isFailing = true
    this.#failingSince_ms = this.triedAt_ms
    this.#onTrouble({ kind: 'records failing', what: 'journal', reason, batch: this.#batch })
  }
}
