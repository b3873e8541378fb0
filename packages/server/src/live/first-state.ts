import type { BatchCase } from '@attemper/core/batch/batch-case.ts'
import type { EngineState, ReadingInput } from '@attemper/core/engine/contract.ts'
import { initialState } from '@attemper/core/engine/initial.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import { silenceAllowed_s } from '@attemper/core/vessel/timeout.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { BatchRecord, Store } from '../store/store.ts'

/** The state of a batch that is about to start. */
export function firstState(batch: BatchCase): EngineState {
  return initialState(batch.program)
}

/**
 * What the instruments said last before the start, as far as it is still fresh: a ramp in the first stage begins at the
 * beer's temperature. A gravity from before pitching is not this beer's, unless it was taken at this very second.
 */
export function readingsAtStart(store: Store, record: BatchRecord, vessel: Vessel): readonly ReadingInput[] {
  const now_s = Math.floor(record.started_ms / 1000)
  return listChannels(vessel).flatMap(({ number, instrument, channel }): ReadingInput[] => {
    const stream = { vessel: record.vessel, instrument: instrument.name, quantity: channel.quantity }
    const latest = store.latestReading(stream, record.started_ms)
    if (latest === null) return []
    const at_s = Math.floor(latest.at_ms / 1000)
    const isOfThisBeer = channel.unit !== 'SG' && now_s - at_s < silenceAllowed_s(instrument)
    if (at_s !== now_s && !isOfThisBeer) return []
    return [{ channel: number, value: latest.value, at_s, status: latest.status }]
  })
}
