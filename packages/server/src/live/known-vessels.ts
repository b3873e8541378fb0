import { listChannels } from '@attemper/core/vessel/channels.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { VesselRecord } from '../store/store.ts'

/** A vessel of the cellar, read, with its channels by instrument and quantity. */
export interface KnownVessel {
  readonly record: VesselRecord
  readonly vessel: Vessel
  /** Channel number by quantity, by instrument. */
  readonly channels: ReadonlyMap<string, ReadonlyMap<string, number>>
}

/** Reads a vessel of the records; null: its text can not be read (any more). */
export function knowVessel(record: VesselRecord): KnownVessel | null {
  const { vessel } = readVessel(record.text, 'vessel')
  if (vessel === null) return null
  const channels = new Map<string, Map<string, number>>()
  for (const { number, instrument, channel } of listChannels(vessel)) {
    const own = channels.get(instrument.name) ?? new Map<string, number>()
    own.set(channel.quantity, number)
    channels.set(instrument.name, own)
  }
  return { record, vessel, channels }
}
