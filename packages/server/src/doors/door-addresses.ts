import { listChannels } from '@attemper/core/vessel/channels.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { VesselRecord } from '../store/store.ts'
import { ROOT } from './mqtt/topics.ts'
import { slugOf } from './slug.ts'

/** Where a device sends the readings of a vessel, so that they need no mapping. */
export interface DoorAddresses {
  /** Of the cellar's own broker; null: it uses another. */
  readonly mqttPort: number | null
  /** mqtt://HOST:PORT of that other broker; null: the cellar has its own. */
  readonly broker: string | null
  /** Below the address of the cellar. */
  readonly httpPath: string
  readonly channels: readonly ChannelAddress[]
}

export interface ChannelAddress {
  readonly instrument: string
  readonly quantity: string
  /** The quantity's own, in which a plain number is taken; empty: it has none. */
  readonly unit: string
  readonly byHand: boolean
  readonly topic: string
  /** The name of its records in a SenML pack. */
  readonly senmlName: string
}

/** Names are written as slugs, unless two would be the same that way. */
export function doorAddresses(
  { name, text }: VesselRecord,
  mqtt: { readonly port: number | null; readonly broker: string | null },
): DoorAddresses {
  const { vessel } = readVessel(text, name)
  const channels = vessel === null ? [] : listChannels(vessel)
  const instruments = [...new Set(channels.map(({ instrument }) => instrument.name))]
  const written = (instrument: string) => {
    const slug = slugOf(instrument)
    const isOnly = instruments.filter(each => slugOf(each) === slug).length === 1
    return isOnly && slug !== '' ? slug : instrument
  }
  return {
    mqttPort: mqtt.port,
    broker: mqtt.broker,
    httpPath: `/readings?vessel=${encodeURIComponent(slugOf(name) || name)}`,
    channels: channels.map(({ instrument, channel: { quantity, unit } }) => ({
      instrument: instrument.name,
      quantity,
      unit,
      byHand: instrument.byHand,
      topic: `${ROOT}/${slugOf(name) || name}/${written(instrument.name)}/${slugOf(quantity)}`,
      senmlName: `${written(instrument.name)}/${slugOf(quantity)}`,
    })),
  }
}
