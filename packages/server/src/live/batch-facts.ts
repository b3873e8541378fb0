import type { BatchCase } from '@attemper/core/batch/batch-case.ts'
import { believedValue } from '@attemper/core/batch/batch-sentence.ts'
import type { StandingAlarm } from '@attemper/core/batch/doubts.ts'
import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { BatchRecord, Store } from '../store/store.ts'
import type { BatchKeeper } from './batch-keeper.ts'
import { endingOf } from './ending.ts'
import { journalEntries } from './journal-pages.ts'
import { followSwitching, type LastSwitching, NEVER_SWITCHED } from './last-switching.ts'
import type { LiveFacts } from './view.ts'
import { whyEnded, whyNow, whyThen } from './why.ts'

export interface FactParts {
  readonly store: Store
  readonly keeperOf: (batch: string) => BatchKeeper | undefined
  /** Since when readings can not be stored; null: they are. */
  readonly unwrittenSince_s: () => number | null
  readonly alarmsOf: (batch: string) => readonly StandingAlarm[]
}

/** A batch with its state, from its keeper or from the records. */
export interface LookedAt {
  readonly record: BatchRecord
  readonly batchCase: BatchCase
  readonly state: EngineState
}

/** What is known of a batch beside its state: from its keeper while it runs, from its journal when it is over. */
export class BatchFacts {
  readonly #parts: FactParts

  constructor(parts: FactParts) {
    this.#parts = parts
  }

  of({ id, ended_ms }: BatchRecord): LiveFacts {
    const { store, keeperOf, alarmsOf, unwrittenSince_s } = this.#parts
    const keeper = keeperOf(id)
    if (keeper === undefined) {
      const isOver = ended_ms !== null
      return {
        links: [],
        past: [],
        alarms: isOver ? [] : alarmsOf(id),
        unwrittenSince_s: null,
        heldBy: null,
        isKept: false,
        ending: isOver ? endingOf(journalEntries(store, id)) : null,
      }
    }
    const { links, past, heldBy, hasFailed } = keeper
    return {
      links,
      past,
      heldBy,
      alarms: alarmsOf(id),
      unwrittenSince_s: keeper.unwrittenSince_s ?? unwrittenSince_s(),
      isKept: !hasFailed,
      ending: null,
    }
  }

  lastSwitching(batch: string, appliance: ApplianceName): LastSwitching {
    const keeper = this.#parts.keeperOf(batch)
    if (keeper !== undefined) return keeper.lastSwitching(appliance)
    let last = NEVER_SWITCHED
    for (const entry of journalEntries(this.#parts.store, batch)) {
      last = followSwitching(last, appliance, entry)
    }
    return last
  }

  /** Why an appliance is on or off, or was at a time. */
  why({ record, batchCase, state }: LookedAt, appliance: ApplianceName, at_ms?: number): string {
    const { id, localOffset_s } = record
    const isBeerKnown = believedValue(state, batchCase.program.beer) !== null
    const telling = { context: batchCase.context, localOffset_s, isBeerKnown }
    const { ending } = this.of(record)
    if (ending !== null && (at_ms === undefined || at_ms >= ending.at_s * 1000)) {
      return whyEnded(appliance, ending, telling)
    }
    if (at_ms === undefined) return whyNow(state, appliance, this.lastSwitching(id, appliance), telling)
    if (at_ms < record.started_ms) return `${record.name} had not been started then.`
    return whyThen(this.#entriesUntil(id, at_ms), appliance, telling)
  }

  *#entriesUntil(batch: string, at_ms: number): Generator<JournalEntry> {
    for (const entry of journalEntries(this.#parts.store, batch, at_ms + 1)) {
      if (entry.at_ms <= at_ms) yield entry
    }
  }
}
