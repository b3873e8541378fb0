import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import type { Report } from '@attemper/server/doors/report.ts'
import type { Store, Stream } from '@attemper/server/store/store.ts'

/** What the cellar has acknowledged, as its senders remember it: readings, decisions, and what people asked for. */
export class Ledger {
  readonly #readings = new Map<string, { readonly stream: Stream; values: Map<number, number> }>()
  #sinceMark: { readonly key: string; readonly at_ms: number }[] = []
  readonly #entries = new Map<string, JournalEntry[]>()
  readonly #marks = new Map<string, number>()
  readonly #requests: { readonly batch: string; readonly by: string }[] = []
  #requestsMarked = 0

  acknowledged(reports: readonly Report[], _now_ms: number): void {
    for (const { vessel, instrument, quantity, at_ms, value } of reports) {
      const key = `${vessel}|${instrument}|${quantity}`
      let own = this.#readings.get(key)
      if (own === undefined) {
        own = { stream: { vessel, instrument, quantity }, values: new Map() }
        this.#readings.set(key, own)
      }
      // The same stream and time is stored once: the first value stays.
      if (own.values.has(at_ms)) continue
      own.values.set(at_ms, value)
      this.#sinceMark.push({ key, at_ms })
    }
  }

  /** A person has been told that it is done. */
  promised(batch: string, by: string): void {
    this.#requests.push({ batch, by })
  }

  written(method: string, given: readonly unknown[]): void {
    if (method !== 'appendJournal') return
    const [batch, entries] = given as [string, readonly JournalEntry[]]
    const own = this.#entries.get(batch)
    if (own === undefined) this.#entries.set(batch, [...entries])
    else own.push(...entries)
  }

  /** From here on the medium may still lose what is written. */
  mark(): void {
    this.#sinceMark = []
    for (const [batch, entries] of this.#entries) this.#marks.set(batch, entries.length)
    this.#requestsMarked = this.#requests.length
  }

  /** The medium has lost some of what was written since the mark: nobody is blamed for that. What is left is kept from now on. */
  excuse(store: Pick<Store, 'journal'>): void {
    for (const { key, at_ms } of this.#sinceMark) this.#readings.get(key)!.values.delete(at_ms)
    this.#sinceMark = []
    for (const [batch, entries] of this.#entries) {
      const left = store.journal(batch).length
      entries.length = Math.min(entries.length, Math.max(left, this.#marks.get(batch) ?? 0))
    }
    this.#requests.length = this.#requestsMarked
  }

  /** How many things were compared, and the first that is missing or was changed. */
  compare(store: Pick<Store, 'readings' | 'journal'>): {
    readonly compared: number
    readonly complaint: string | null
  } {
    let compared = 0
    for (const { stream, values } of this.#readings.values()) {
      const kept = new Map(
        store.readings(stream, -8e15, 8e15).map(({ at_ms, value }) => [at_ms, value] as const),
      )
      for (const [at_ms, value] of values) {
        compared++
        const found = kept.get(at_ms)
        if (found === value || (found === 0 && value === 0)) continue
        const what = `${stream.vessel}, ${stream.instrument}, ${stream.quantity} at ${new Date(at_ms).toISOString()}`
        return {
          compared,
          complaint: `the reading ${value} of ${what} was acknowledged, and is ${found ?? 'gone'}`,
        }
      }
    }
    for (const [batch, entries] of this.#entries) {
      const journal = store.journal(batch)
      for (let n = 0; n < entries.length; n++) {
        compared++
        const { number, ...found } = journal[n] ?? { number: null }
        if (number === n + 1 && JSON.stringify(found) === JSON.stringify(entries[n])) continue
        return {
          compared,
          complaint: `entry ${n + 1} of ${batch} was ${JSON.stringify(entries[n])}, and is ${JSON.stringify(found)}`,
        }
      }
    }
    for (const { batch, by } of this.#requests) {
      compared++
      const own = this.#entries.get(batch) ?? []
      if (own.some(entry => 'by' in entry && entry.by === by)) continue
      return { compared, complaint: `what ${by} did to ${batch} was confirmed, and is not in its journal` }
    }
    return { compared, complaint: null }
  }
}
