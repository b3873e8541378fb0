import type { DatabaseSync, SQLOutputValue, StatementSync } from 'node:sqlite'
import type { AuditEntry, BatchRecord, VesselRecord } from '../store.ts'
import { StoreError } from '../store-error.ts'

const BATCH = 'id, vessel, name, plan_text, vessel_text, beer_text, local_offset_s, started_ms, ended_ms'

/** The small tables: vessels, batches, documents, audit. */
export class Records {
  readonly #putVessel: StatementSync
  readonly #vessels: StatementSync
  readonly #removeVessel: StatementSync
  readonly #createBatch: StatementSync
  readonly #updateBatch: StatementSync
  readonly #batch: StatementSync
  readonly #batches: StatementSync
  readonly #getDocument: StatementSync
  readonly #putDocument: StatementSync
  readonly #appendAudit: StatementSync
  readonly #audit: StatementSync
  /** As they are on disk; null: to be read. The doors ask for them with each message. */
  #known: readonly VesselRecord[] | null = null

  constructor(db: DatabaseSync) {
    this.#putVessel = db.prepare(
      'insert or replace into vessel (name, text, doors, changed_ms) values (?, ?, ?, ?)',
    )
    this.#vessels = db.prepare('select name, text, doors, changed_ms from vessel order by name')
    this.#removeVessel = db.prepare('delete from vessel where name = ?')
    this.#createBatch = db.prepare(
      `insert into batch (${BATCH}) values (?, ?, ?, ?, ?, ?, ?, ?, ?) on conflict (id) do nothing`,
    )
    this.#updateBatch = db.prepare('update batch set plan_text = ?, ended_ms = ? where id = ?')
    this.#batch = db.prepare(`select ${BATCH} from batch where id = ?`)
    this.#batches = db.prepare(`select ${BATCH} from batch order by started_ms, key`)
    this.#getDocument = db.prepare('select text from document where name = ?')
    this.#putDocument = db.prepare(
      'insert into document (name, text) values (?, ?) on conflict (name) do update set text = excluded.text',
    )
    this.#appendAudit = db.prepare('insert into audit (at_ms, who, what) values (?, ?, ?)')
    this.#audit = db.prepare('select at_ms, who, what from audit order by id desc limit ?')
  }

  putVessel({ name, text, doors, changed_ms }: VesselRecord): void {
    this.#known = null
    this.#putVessel.run(name, text, doors, changed_ms)
  }

  /** The same list until one is put or removed. */
  vessels(): readonly VesselRecord[] {
    this.#known ??= this.#vessels.all().map(row => ({
      name: String(row.name),
      text: String(row.text),
      doors: String(row.doors),
      changed_ms: Number(row.changed_ms),
    }))
    return this.#known
  }

  removeVessel(name: string): void {
    this.#known = null
    this.#removeVessel.run(name)
  }

  createBatch(batch: BatchRecord): void {
    const { changes } = this.#createBatch.run(
      batch.id,
      batch.vessel,
      batch.name,
      batch.planText,
      batch.vesselText,
      batch.beerText,
      batch.localOffset_s,
      batch.started_ms,
      batch.ended_ms,
    )
    if (changes === 1) return
    throw new StoreError('duplicate', `There is already a batch ${batch.id}. Give the new one another name.`)
  }

  updateBatch(id: string, part: Partial<Pick<BatchRecord, 'planText' | 'ended_ms'>>): void {
    const batch = this.batch(id)
    if (batch === null) {
      throw new StoreError('unknown', `There is no batch ${id}. Create it before changing it.`)
    }
    const { planText, ended_ms } = { ...batch, ...part }
    this.#updateBatch.run(planText, ended_ms, id)
  }

  batch(id: string): BatchRecord | null {
    const row = this.#batch.get(id)
    return row === undefined ? null : toBatch(row)
  }

  batches(): readonly BatchRecord[] {
    return this.#batches.all().map(toBatch)
  }

  getDocument(name: string): string | null {
    const row = this.#getDocument.get(name)
    return row === undefined ? null : String(row.text)
  }

  putDocument(name: string, text: string): void {
    this.#putDocument.run(name, text)
  }

  appendAudit({ at_ms, who, what }: AuditEntry): void {
    this.#appendAudit.run(at_ms, who, what)
  }

  audit(limit: number): readonly AuditEntry[] {
    return this.#audit.all(limit).map(row => ({
      at_ms: Number(row.at_ms),
      who: String(row.who),
      what: String(row.what),
    }))
  }
}

function toBatch(row: Record<string, SQLOutputValue>): BatchRecord {
  return {
    id: String(row.id),
    vessel: String(row.vessel),
    name: String(row.name),
    planText: String(row.plan_text),
    vesselText: String(row.vessel_text),
    beerText: String(row.beer_text),
    localOffset_s: Number(row.local_offset_s),
    started_ms: Number(row.started_ms),
    ended_ms: row.ended_ms === null ? null : Number(row.ended_ms),
  }
}
