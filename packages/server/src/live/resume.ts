import type { ClockSet, JournalEntry } from '@attemper/core/batch/journal.ts'
import type { ReadingInput } from '@attemper/core/engine/contract.ts'
import { shiftTimes } from '@attemper/core/engine/shift-times.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { BatchRecord, Store } from '../store/store.ts'
import type { BatchKeeper } from './batch-keeper.ts'
import { journalEntries } from './journal-pages.ts'
import { movedBefore_s, timesToMove_s, toldTwice_ms } from './settle-clock.ts'
import { SOFTWARE } from './software.ts'

/** A device's clock may be ahead by so much (check-report.ts). */
const AHEAD_S = 300

/** A channel that was bad for months has more unheard readings than this; the engine does not need them all. */
const MOST_READINGS = 100_000

/**
 * Takes up a batch where its journal ends: the gap is written down as a gap, the readings that were stored after the last
 * written state are told now, and the compressor's rest counts from now (it may have run until a moment ago). When the clock
 * does not fit the records, the times of the batch are moved with it; what was found is returned.
 */
export function resume(keeper: BatchKeeper, store: Store): ClockSet | null {
  const entries = [...journalEntries(store, keeper.record.id)]
  for (const entry of entries) keeper.recall(entry)
  const { state, now_s } = keeper
  const now_ms = now_s * 1000
  const recorded = { now_s: state.now_s ?? now_s, moved_s: movedBefore_s(entries) }
  const clock_s = now_s - recorded.now_s
  const times_s = timesToMove_s(recorded, now_s) ?? clock_s
  const readings = unheardReadings(store, keeper, toldTwice_ms(entries))
  keeper.state = shiftTimes(state, times_s)
  keeper.wasTakenUp(recorded, times_s)
  const from_ms = (recorded.now_s + times_s) * 1000
  const gap: JournalEntry[] = now_ms > from_ms ? [{ kind: 'gap', at_ms: now_ms, from_ms, to_ms: now_ms }] : []
  const set: ClockSet | null = times_s === 0 ? null : { clock_s, times_s, wasAway: true }
  const clockEntry: JournalEntry[] = set === null ? [] : [{ kind: 'clock set', at_ms: now_ms, ...set }]
  const edit = { kind: 'restarted' } as const
  keeper.call({
    readings: readings.map(reading => ({ ...reading, at_s: reading.at_s + times_s })),
    edits: [edit],
    entries: [...clockEntry, ...gap, { kind: 'edit', at_ms: now_ms, edit, by: SOFTWARE }],
  })
  return set
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

/**
 * By channel, everything stored since its latest reading that the engine knows, late ones too, dated as it was stored. What
 * may be older than its date says is left out: a clock was put back since.
 */
function unheardReadings(
  store: Store,
  keeper: BatchKeeper,
  twice_ms: readonly (readonly [number, number])[],
): readonly ReadingInput[] {
  const { record, state, now_s } = keeper
  const { vessel } = keeper.case
  const to_s = Math.max(now_s, state.now_s ?? 0) + AHEAD_S
  return listChannels(vessel).flatMap(({ number, instrument, channel }) => {
    const stream = { vessel: record.vessel, instrument: instrument.name, quantity: channel.quantity }
    const at_s = state.channels[number]?.at_s ?? null
    const from_s = at_s === null ? (state.startedAt_s ?? 0) : at_s + 1
    return store
      .readings(stream, from_s * 1000, to_s * 1000, MOST_READINGS)
      .filter(({ at_ms }) => !twice_ms.some(([from_ms, to_ms]) => at_ms >= from_ms && at_ms <= to_ms))
      .map(({ value, at_ms, status }) => ({
        channel: number,
        value,
        at_s: Math.floor(at_ms / 1000),
        status,
      }))
  })
}
