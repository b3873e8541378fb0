import { type BatchCase, readCase } from '@attemper/core/batch/batch-case.ts'
import type { AlarmPlace } from '../alarms/alarm-change.ts'
import type { AlarmKeeper } from '../alarms/alarm-keeper.ts'
import { batchConditions } from '../alarms/batch-conditions.ts'
import type { Cellar } from '../live/cellar.ts'
import type { BatchRecord, Store } from '../store/store.ts'

/** Tells the alarms what is so in the batches: of all that run now, and then of each that has changed. */
export function watchBatches(
  cellar: Cellar,
  alarms: AlarmKeeper,
  onFault: (fault: unknown) => void,
): () => void {
  const cases = new Map<string, { readonly planText: string; readonly case: BatchCase | null }>()
  const caseOf = (record: BatchRecord): BatchCase | null => {
    const known = cases.get(record.id)
    if (known?.planText === record.planText) return known.case
    const { batch } = readCase(record)
    cases.set(record.id, { planText: record.planText, case: batch })
    return batch
  }
  const look = (id: string) => {
    const { batch, state } = cellar.view(id)
    const place = placeOf(batch)
    if (batch.ended_ms !== null) {
      cases.delete(id)
      alarms.updateBatch(place, [])
      return
    }
    const own = caseOf(batch)
    if (own !== null) alarms.updateBatch(place, batchConditions(own.program, state))
  }
  /** Nothing that is wrong with one batch may keep the alarms of the others, or end the program. */
  const lookIfPossible = (id: string) => {
    try {
      look(id)
    } catch (fault) {
      try {
        lookWithoutView(id, fault)
      } catch (other) {
        onFault(other)
      }
    }
  }
  const lookWithoutView = (id: string, fault: unknown) => {
    const record = cellar.batches().find(each => each.id === id)
    if (record === undefined || record.ended_ms !== null) {
      cases.delete(id)
      if (record !== undefined) alarms.updateBatch(placeOf(record), [])
      return
    }
    // One that is not looked after has an alarm of its own.
    if (cellar.whyUnkept(id) === null) onFault(fault)
  }
  for (const { id, ended_ms } of cellar.batches()) if (ended_ms === null) lookIfPossible(id)
  alarms.settle()
  // Told in the midst of a change, and often: looked at after it, and once for all that came together.
  let changed = new Set<string>()
  const flush = () => {
    const ids = changed
    changed = new Set()
    for (const id of ids) lookIfPossible(id)
  }
  const stop = cellar.onChange(id => {
    if (changed.size === 0) setImmediate(flush)
    changed.add(id)
  })
  return () => {
    stop()
    changed.clear()
  }
}

export function placeOf({ id, vessel, name }: BatchRecord): AlarmPlace {
  return { batch: id, vessel, name }
}

/** The place of a batch by its name; where the records cannot be read at the moment, the name has to do. */
export function placeIn(store: Pick<Store, 'batch'>, batch: string | null): AlarmPlace | null {
  if (batch === null) return null
  try {
    const record = store.batch(batch)
    return record === null ? null : placeOf(record)
  } catch {
    return { batch, vessel: '', name: batch }
  }
}
