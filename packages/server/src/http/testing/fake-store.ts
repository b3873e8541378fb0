import type { AuditEntry, Bucket, Store, StoredReading, Stream } from '../../store/store.ts'

type Asked = Pick<
  Store,
  | 'readings'
  | 'latestReading'
  | 'buckets'
  | 'streams'
  | 'getDocument'
  | 'putDocument'
  | 'appendAudit'
  | 'audit'
>

/** As much of a store as the HTTP interface asks for, in memory. */
export class FakeStore implements Asked {
  readonly kept: StoredReading[] = []
  readonly documents = new Map<string, string>()
  readonly changes: AuditEntry[] = []
  full = false

  /** For those who take a whole store: anything else that they would call is missing. */
  asStore(): Store {
    return this as unknown as Store
  }

  readings(stream: Stream, from_ms: number, to_ms: number, limit = Number.POSITIVE_INFINITY) {
    return this.kept
      .filter(one => isOf(one, stream) && one.at_ms >= from_ms && one.at_ms < to_ms)
      .sort((a, b) => a.at_ms - b.at_ms)
      .slice(0, limit)
  }

  latestReading(stream: Stream, at_ms: number): StoredReading | null {
    return this.readings(stream, 0, at_ms + 1).at(-1) ?? null
  }

  buckets(stream: Stream, from_ms: number, to_ms: number, count: number): readonly Bucket[] {
    const width_ms = (to_ms - from_ms) / count
    const groups = Map.groupBy(this.readings(stream, from_ms, to_ms), one =>
      Math.floor((one.at_ms - from_ms) / width_ms),
    )
    return [...groups].map(([index, ones]) => {
      const values = ones.map(one => one.value)
      return {
        from_ms: from_ms + index * width_ms,
        count: ones.length,
        min: Math.min(...values),
        max: Math.max(...values),
        mean: values.reduce((sum, value) => sum + value, 0) / values.length,
      }
    })
  }

  streams(vessel?: string): readonly Stream[] {
    const all = this.kept.map(one => ({
      vessel: one.vessel,
      instrument: one.instrument,
      quantity: one.quantity,
    }))
    const different = new Map(all.map(stream => [JSON.stringify(stream), stream]))
    return [...different.values()].filter(stream => vessel === undefined || stream.vessel === vessel)
  }

  getDocument(name: string): string | null {
    return this.documents.get(name) ?? null
  }

  putDocument(name: string, text: string): void {
    this.documents.set(name, text)
  }

  appendAudit(entry: AuditEntry): void {
    if (this.full) throw new Error('SQLITE_FULL: database or disk is full')
    this.changes.push(entry)
  }

  audit(limit: number): readonly AuditEntry[] {
    return this.changes.slice(-limit)
  }
}

function isOf(reading: StoredReading, stream: Stream): boolean {
  return (
    reading.vessel === stream.vessel &&
    reading.instrument === stream.instrument &&
    reading.quantity === stream.quantity
  )
}
