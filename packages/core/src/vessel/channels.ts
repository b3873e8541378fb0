import type { Channel, Instrument, Vessel } from './vessel.ts'

/** One channel of a vessel with its instrument; its position in the list is the channel number used everywhere. */
export interface NumberedChannel {
  readonly number: number
  readonly instrument: Instrument
  readonly channel: Channel
}

/** All channels of a vessel: instruments in the order of the file, channels in the order of the instrument. */
export function listChannels(vessel: Vessel): readonly NumberedChannel[] {
  return vessel.instruments
    .flatMap(instrument => instrument.channels.map(channel => ({ instrument, channel })))
    .map((entry, number) => ({ number, ...entry }))
}
