import type { ReadingInput } from '@attemper/core/engine/contract.ts'
import { formatDuration } from '@attemper/core/units/format.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { Instrument, Vessel } from '@attemper/core/vessel/vessel.ts'

/**
 * The vessel as a record shows it. Instruments have the intervals at which they speak in the record, where these are
 * longer than the vessel file says: a beer that was tasted once a day would otherwise look like a float that is silent
 * for most of the day. What may change from one reading to the next grows in proportion. And since nothing that the plan
 * switches can change a record, nobody waits for the temperature to answer.
 */
export function vesselAsRecorded(
  vessel: Vessel,
  readings: readonly ReadingInput[],
): { readonly vessel: Vessel; readonly notes: readonly string[] } {
  const channels = listChannels(vessel)
  const notes: string[] = []
  const instruments = vessel.instruments.map((instrument): Instrument => {
    const numbers = channels.filter(each => each.instrument === instrument).map(each => each.number)
    const gaps_s = numbers.map(number => medianGap_s(readings.filter(reading => reading.channel === number)))
    const every_s = Math.max(...gaps_s)
    if (!(every_s > instrument.every_s)) return instrument
    notes.push(
      `${instrument.name} reports every ${formatDuration(instrument.every_s)} by the vessel file, but every ` +
        `${formatDuration(every_s)} in the record: the plan is told the latter.`,
    )
    const ratio = every_s / instrument.every_s
    const { timeout_s: _, ...rest } = instrument
    return {
      ...rest,
      every_s,
      channels: instrument.channels.map(channel => ({ ...channel, step: channel.step * ratio })),
    }
  })
  const interlocks = { ...vessel.interlocks, heaterResponse_s: 0, coolerResponse_s: 0 }
  return { vessel: { ...vessel, instruments, interlocks }, notes }
}

function medianGap_s(readings: readonly ReadingInput[]): number {
  const gaps_s = readings.slice(1).map((reading, index) => reading.at_s - readings[index]!.at_s)
  gaps_s.sort((one, other) => one - other)
  return gaps_s[Math.floor(gaps_s.length / 2)] ?? 0
}
