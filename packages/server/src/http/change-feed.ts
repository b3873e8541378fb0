import { randomBytes } from 'node:crypto'
import type { BatchView, Cellar } from '../live/cellar.ts'

/** A batch has changed. `view` is how it stands now; null: it is gone. */
export interface Change {
  readonly id: string
  readonly batch: string
  readonly view: BatchView | null
}

const KEPT = 1000

/** A batch may change with each reading; nobody looks more often than this (real time). */
const GATHER_ms = 100

/**
 * The changes of all batches, numbered, so that a listener who was cut off can go on where it was. An id names this start
 * of the cellar and the number of the change; only which batch it was is kept, since it is the present state that counts.
 */
export class ChangeFeed {
  readonly #cellar: Cellar
  readonly #start = randomBytes(6).toString('hex')
  readonly #listeners = new Set<(change: Change) => void>()
  readonly #stop: () => void
  #kept: { readonly number: number; readonly batch: string }[] = []
  #number = 0
  #pending = new Set<string>()
  readonly #gather_ms: number
  /** Runs while changes are gathered. */
  #gathering: NodeJS.Timeout | null = null

  constructor(cellar: Cellar, gather_ms = GATHER_ms) {
    this.#cellar = cellar
    this.#gather_ms = gather_ms
    this.#stop = cellar.onChange(batch => this.#changed(batch))
  }

  get listeners(): number {
    return this.#listeners.size
  }

  listen(listener: (change: Change) => void): () => void {
    this.#listeners.add(listener)
    return () => {
      this.#listeners.delete(listener)
    }
  }

  /** What has changed after a known change, each batch once; null: that was too long ago, or before this start. */
  since(id: string): readonly Change[] | null {
    const [start, text] = id.split('-')
    const number = Number(text)
    const first = this.#kept[0]?.number ?? this.#number + 1
    if (start !== this.#start || !(number >= first - 1 && number <= this.#number)) return null
    const latest = new Map<string, number>()
    for (const one of this.#kept) {
      if (one.number > number) {
        latest.delete(one.batch)
        latest.set(one.batch, one.number)
      }
    }
    return [...latest].map(([batch, changed]) => this.#change(batch, changed))
  }

  /** The id of the latest change, from which a new listener goes on. */
  now(): string {
    return this.#idOf(this.#number)
  }

  close(): void {
    this.#stop()
    if (this.#gathering !== null) clearTimeout(this.#gathering)
    this.#listeners.clear()
  }

  /** Told in the midst of a change: looked at after it, and once for all that came together or soon after another. */
  #changed(batch: string): void {
    if (this.#pending.size === 0 && this.#gathering === null) setImmediate(() => this.#flush())
    this.#pending.delete(batch)
    this.#pending.add(batch)
  }

  #flush(): void {
    const batches = this.#pending
    if (this.#gather_ms > 0 && batches.size > 0) {
      this.#gathering = setTimeout(() => {
        this.#gathering = null
        this.#flush()
      }, this.#gather_ms)
      this.#gathering.unref()
    }
    this.#pending = new Set()
    for (const batch of batches) {
      this.#number += 1
      this.#kept.push({ number: this.#number, batch })
      if (this.#kept.length > 2 * KEPT) this.#kept = this.#kept.slice(-KEPT)
      if (this.#listeners.size === 0) continue
      const change = this.#change(batch, this.#number)
      for (const listener of this.#listeners) this.#tell(listener, change)
    }
  }

  /** A listener whose connection is in a bad way must not keep the change from the others. */
  #tell(listener: (change: Change) => void, change: Change): void {
    try {
      listener(change)
    } catch {
      this.#listeners.delete(listener)
    }
  }

  #change(batch: string, number: number): Change {
    return { id: this.#idOf(number), batch, view: this.#view(batch) }
  }

  #view(batch: string): BatchView | null {
    try {
      return this.#cellar.view(batch)
    } catch {
      return null
    }
  }

  #idOf(number: number): string {
    return `${this.#start}-${number}`
  }
}
