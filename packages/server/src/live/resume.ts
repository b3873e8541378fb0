import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import type { ReadingInput } from '@attemper/core/engine/contract.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { BatchRecord, Store } from '../store/store.ts'
import type { BatchKeeper } from './batch-keeper.ts'
import { journalEntries } from './journal-pages.ts'
import { SOFTWARE } from './software.ts'

/** A device's clock may be ahead by so much (check-report.ts). */
const AHEAD_S = 300

/** A channel that was bad for months has more unheard readings than this; the engine does not need them all. */
const MOST_READINGS = 100_000

/**
 * Takes up a batch where its journal ends: the gap is written down as a gap, the readings that were stored after the last
 * written state are told now, and the compressor's rest counts from now (it may have run until a moment ago).
 */
export function resume(keeper: BatchKeeper, store: Store): void {
  for (const entry of journalEntries(store, keeper.record.id)) keeper.recall(entry)
  const { state } = keeper
  const now_ms = keeper.now_s * 1000
  const from_ms = state.now_s === null ? now_ms : state.now_s * 1000
  const gap: JournalEntry[] = now_ms > from_ms ? [{ kind: 'gap', at_ms: now_ms, from_ms, to_ms: now_ms }] : []
  const edit = { kind: 'restarted' } as const
  keeper.call({
    readings: unheardReadings(store, keeper),
    edits: [edit],
    entries: [...gap, { kind: 'edit', at_ms: now_ms, edit, by: SOFTWARE }],
  })
}

/**
 * The plan that a batch runs by. A changed plan stands in the journal, in one transaction with the state that belongs to
 * it; the software may have been stopped before it reached the batch's record.
 */
export function latestPlanText(store: Store, record: BatchRecord): string {
  let { planText } = record
  for (const entry of journalEntries(store, record.id)) {
    if (entry.kind === 'plan changed') planText = entry.planText
  }
  return planText
}

/** By channel, everything stored since its latest reading that the engine knows, late ones too. */
function unheardReadings(store: Store, keeper: BatchKeeper): readonly ReadingInput[] {
  const { record, state, now_s } = keeper
  const { vessel } = keeper.case
  return listChannels(vessel).flatMap(({ number, instrument, channel }) => {
    const stream = { vessel: record.vessel, instrument: instrument.name, quantity: channel.quantity }
    const at_s = state.channels[number]?.at_s ?? null
    const from_s = at_s === null ? (state.startedAt_s ?? 0) : at_s + 1
    return store
      .readings(stream, from_s * 1000, (now_s + AHEAD_S) * 1000, MOST_READINGS)
      .map(({ value, at_ms, status }) => ({
        channel: number,
        value,
        at_s: Math.floor(at_ms / 1000),
        status,
      }))
  })
}
