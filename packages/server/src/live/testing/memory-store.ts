import type { JournalEntry, NumberedEntry } from '@attemper/core/batch/journal.ts'
import type {
  Added,
  AuditEntry,
  BatchRecord,
  Bucket,
  Store,
  StoredReading,
  Stream,
  Thinned,
  VesselRecord,
} from '../../store/store.ts'

/**
 * The records of a cellar in the memory of a test. Everything goes through JSON as it would through a file, so two cellars
 * on the same store share no object; and the disk can be full.
 */
export class MemoryStore implements Store {
  isFull = false
  readonly #readings = new Map<string, Map<number, StoredReading>>()
  readonly #vessels = new Map<string, string>()
  readonly #batches = new Map<string, string>()
  readonly #journals = new Map<string, string[]>()
  readonly #states = new Map<string, { readonly text: string; readonly at_ms: number }>()
  readonly #documents = new Map<string, string>()
  readonly #audit: AuditEntry[] = []

  async addReadings(readings: readonly StoredReading[]): Promise<Added> {
    this.#write()
    let stored = 0
    for (const reading of readings) {
      const key = keyOf(reading)
      const own = this.#readings.get(key) ?? new Map<number, StoredReading>()
      this.#readings.set(key, own)
      if (own.has(reading.at_ms)) continue
      own.set(reading.at_ms, { ...reading })
      stored++
    }
    return { stored, repeated: readings.length - stored }
  }

  readings(stream: Stream, from_ms: number, to_ms: number, limit = Number.POSITIVE_INFINITY) {
    const own = this.#readings.get(keyOf(stream))
    if (!own) return []
    return [...own.values()]
      .filter(({ at_ms }) => at_ms >= from_ms && at_ms < to_ms)
      .sort((a, b) => a.at_ms - b.at_ms)
      .slice(0, limit)
  }

  latestReading(stream: Stream, at_ms: number): StoredReading | null {
    return this.readings(stream, Number.NEGATIVE_INFINITY, at_ms + 1).at(-1) ?? null
  }

  buckets(): readonly Bucket[] {
    throw new Error('The live cellar draws no charts.')
  }

  streams(vessel?: string): readonly Stream[] {
    const all = [...this.#readings.keys()].map(key => JSON.parse(key) as [string, string, string])
    return all
      .map(([name, instrument, quantity]) => ({ vessel: name, instrument, quantity }))
      .filter(stream => vessel === undefined || stream.vessel === vessel)
  }

  seal(): boolean {
    return false
  }

  thin(): Thinned {
    return { readings: 0, minuteHours: 0, isMore: false }
  }

  putVessel(vessel: VesselRecord): void {
    this.#write()
    this.#vessels.set(vessel.name, JSON.stringify(vessel))
  }

  vessels(): readonly VesselRecord[] {
    return [...this.#vessels.values()].map(text => JSON.parse(text) as VesselRecord)
  }

  removeVessel(name: string): void {
    this.#write()
    this.#vessels.delete(name)
  }

  createBatch(batch: BatchRecord): void {
    this.#write()
    this.#batches.set(batch.id, JSON.stringify(batch))
  }

  updateBatch(id: string, part: Partial<BatchRecord>): void {
    this.#write()
    this.#batches.set(id, JSON.stringify({ ...this.batch(id), ...part }))
  }

  batch(id: string): BatchRecord | null {
    const text = this.#batches.get(id)
    return text === undefined ? null : (JSON.parse(text) as BatchRecord)
  }

  batches(): readonly BatchRecord[] {
    return [...this.#batches.keys()].map(id => this.batch(id)!)
  }

  appendJournal(batch: string, entries: readonly JournalEntry[], state: unknown): number {
    this.#write()
    const journal = this.#journals.get(batch) ?? []
    this.#journals.set(batch, journal)
    journal.push(...entries.map(entry => JSON.stringify(entry)))
    const at_ms = entries.at(-1)?.at_ms ?? 0
    if (state !== null) this.#states.set(batch, { text: JSON.stringify(state), at_ms })
    return journal.length
  }

  journal(batch: string, options: Parameters<Store['journal']>[1] = {}): readonly NumberedEntry[] {
    const { after = 0, limit = Number.POSITIVE_INFINITY, until_ms = Number.POSITIVE_INFINITY } = options
    const journal = this.#journals.get(batch) ?? []
    return journal
      .slice(after)
      .map((text, index) => ({ ...(JSON.parse(text) as JournalEntry), number: after + index + 1 }))
      .filter(({ at_ms }) => at_ms < until_ms)
      .slice(0, limit)
  }

  latestState(batch: string) {
    const latest = this.#states.get(batch)
    return latest === undefined ? null : { state: JSON.parse(latest.text), at_ms: latest.at_ms }
  }

  getDocument(name: string): string | null {
    return this.#documents.get(name) ?? null
  }

  putDocument(name: string, text: string): void {
    this.#write()
    this.#documents.set(name, text)
  }

  appendAudit(entry: AuditEntry): void {
    this.#write()
    this.#audit.push(entry)
  }

  audit(limit: number): readonly AuditEntry[] {
    return this.#audit.slice(-limit)
  }

  async backup(): Promise<void> {
    throw new Error('A store in memory has no file.')
  }

  async verify(): Promise<readonly string[]> {
    return []
  }

  close(): void {
    this.isFull = true
  }

  #write(): void {
    if (this.isFull) throw new Error('database or disk is full')
  }
}

function keyOf({ vessel, instrument, quantity }: Stream): string {
  return JSON.stringify([vessel, instrument, quantity])
}
