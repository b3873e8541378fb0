import type { DatabaseSync, StatementSync } from 'node:sqlite'
import type { Stream } from '../store.ts'

/** Gives each stream a small whole number, and keeps those numbers in memory. */
export class Streams {
  readonly #insert: StatementSync
  readonly #select: StatementSync
  readonly #ids = new Map<string, number>()

  constructor(db: DatabaseSync) {
    // Names that are not well-formed Unicode may already stand there, repaired, under another key.
    this.#insert = db.prepare(
      `insert into stream (vessel, instrument, quantity) values (?, ?, ?)
       on conflict do update set vessel = excluded.vessel returning id`,
    )
    this.#select = db.prepare(
      'select id, vessel, instrument, quantity from stream order by vessel, instrument, quantity',
    )
    this.reload()
  }

  /** After a transaction that was undone: numbers given in it are void. */
  reload(): void {
    this.#ids.clear()
    for (const { id, vessel, instrument, quantity } of this.#select.all()) {
      this.#ids.set(
        keyOf({ vessel: String(vessel), instrument: String(instrument), quantity: String(quantity) }),
        Number(id),
      )
    }
  }

  idOf(stream: Stream): number | null {
    return this.#ids.get(keyOf(stream)) ?? null
  }

  /** Within a transaction. */
  idOfOrNew(stream: Stream): number {
    const key = keyOf(stream)
    const known = this.#ids.get(key)
    if (known !== undefined) return known
    const id = Number(this.#insert.get(stream.vessel, stream.instrument, stream.quantity)?.id)
    this.#ids.set(key, id)
    return id
  }

  ids(): readonly number[] {
    return [...this.#ids.values()]
  }

  list(vessel?: string): readonly Stream[] {
    return this.#select
      .all()
      .map(row => ({
        vessel: String(row.vessel),
        instrument: String(row.instrument),
        quantity: String(row.quantity),
      }))
      .filter(stream => vessel === undefined || stream.vessel === vessel)
  }
}

/** Unambiguous whatever the names contain: the lengths come first. */
function keyOf({ vessel, instrument, quantity }: Stream): string {
  return `${vessel.length} ${instrument.length} ${vessel}${instrument}${quantity}`
}
