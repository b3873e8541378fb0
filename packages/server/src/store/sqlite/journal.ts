import type { DatabaseSync, StatementSync } from 'node:sqlite'
import type { JournalEntry, NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import { StoreError } from '../store-error.ts'
import { inTransaction } from './transaction.ts'

/** What happened to each batch, numbered from 1, and the engine's state after it. */
export class Journal {
  readonly #db: DatabaseSync
  readonly #key: StatementSync
  readonly #lastNumber: StatementSync
  readonly #insert: StatementSync
  readonly #putState: StatementSync
  readonly #select: StatementSync
  readonly #state: StatementSync

  constructor(db: DatabaseSync) {
    this.#db = db
    this.#key = db.prepare('select key from batch where id = ?')
    this.#lastNumber = db.prepare('select max(number) as number from journal where batch = ?')
    this.#insert = db.prepare('insert into journal (batch, number, at_ms, entry) values (?, ?, ?, ?)')
    this.#putState = db.prepare(
      `insert into latest_state (batch, at_ms, state) values (?, ?, ?)
       on conflict (batch) do update set at_ms = excluded.at_ms, state = excluded.state`,
    )
    this.#select = db.prepare(
      `select number, entry from journal where batch = ? and number > ? and at_ms <= ?
       order by number limit ?`,
    )
    this.#state = db.prepare('select at_ms, state from latest_state where batch = ?')
  }

  append(batch: string, entries: readonly JournalEntry[], state: EngineState | null): number {
    const key = this.#keyOf(batch)
    return inTransaction(this.#db, () => {
      let number = Number(this.#lastNumber.get(key)?.number ?? 0)
      for (const entry of entries) this.#insert.run(key, ++number, entry.at_ms, JSON.stringify(entry))
      if (state !== null) {
        const at_ms = entries.at(-1)?.at_ms ?? (state.now_s ?? 0) * 1000
        this.#putState.run(key, at_ms, JSON.stringify(state))
      }
      return number
    })
  }

  read(
    batch: string,
    { after = 0, limit = Number.POSITIVE_INFINITY, until_ms = Number.POSITIVE_INFINITY },
  ): readonly NumberedEntry[] {
    const most = Number.isFinite(limit) ? limit : -1
    return this.#select.all(this.#keyOf(batch), after, until_ms, most).map(({ number, entry }) => ({
      ...(JSON.parse(String(entry)) as JournalEntry),
      number: Number(number),
    }))
  }

  latestState(batch: string): { readonly state: EngineState; readonly at_ms: number } | null {
    const row = this.#state.get(this.#keyOf(batch))
    if (row === undefined) return null
    return { state: JSON.parse(String(row.state)) as EngineState, at_ms: Number(row.at_ms) }
  }

  #keyOf(batch: string): number {
    const key = this.#key.get(batch)?.key
    if (typeof key === 'number') return key
    throw new StoreError(
      'unknown',
      `There is no batch ${batch}. Create it before writing or reading its journal.`,
    )
  }
}
