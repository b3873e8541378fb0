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

/** A channel that reports each second for an hour has no more. */
const MOST_READINGS = 4000

/**
 * What the instruments said last before the start, as far as it is still fresh, so that one that has been heard often enough
 * is believed at once: a ramp in the first stage begins at the beer's temperature. A gravity from before pitching is not this
 * beer's, unless it was taken at this very second.
 */
export function readingsAtStart(store: Store, record: BatchRecord, vessel: Vessel): readonly ReadingInput[] {
  const now_s = Math.floor(record.started_ms / 1000)
  return listChannels(vessel).flatMap(({ number, instrument, channel }): ReadingInput[] => {
    const stream = { vessel: record.vessel, instrument: instrument.name, quantity: channel.quantity }
    const isOfThisBeer = channel.unit !== 'SG'
    const since_s = isOfThisBeer ? now_s + 1 - silenceAllowed_s(instrument) : now_s
    return store
      .readings(stream, since_s * 1000, record.started_ms + 1, MOST_READINGS)
      .map(({ value, at_ms, status }) => ({
        channel: number,
        value,
        at_s: Math.floor(at_ms / 1000),
        status,
      }))
  })
}
