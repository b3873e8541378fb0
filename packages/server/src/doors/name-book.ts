import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Stream, VesselRecord } from '../store/store.ts'
import type { Found, NameBook } from './decode/decode-context.ts'
import { quoted } from './decode/quoted.ts'
import { slugOf } from './slug.ts'

/** Instruments of a vessel, and what each measures. */
type Instruments = ReadonlyMap<string, readonly string[]>

/** The names of a cellar. */
export interface CellarNames extends NameBook {
  /** The vessel that a name stands for; undefined: none, or it can not be told which. */
  vessel(written: string): string | undefined
}

/** The devices of a cellar write names in a few ways; only one that does harm writes them in thousands, or without end. */
const MOST_REMEMBERED = 10_000
const LONGEST_REMEMBERED = 300

/**
 * Looks names up in the vessel files as they are at the moment. A message may write a name as it stands in the file, or as
 * its slug; when two names have the same slug, only the full names tell them apart.
 */
export function nameBook(vessels: () => readonly VesselRecord[]): CellarNames {
  /** By text of the file: reading one takes longer than a reading may. */
  const read = new Map<string, Instruments>()
  const instrumentsOf = ({ name, text }: VesselRecord): Instruments => {
    const known = read.get(text)
    if (known !== undefined) return known
    if (read.size > 1000) read.clear()
    const { vessel } = readVessel(text, name)
    const instruments = new Map<string, string[]>()
    for (const { instrument, channel } of vessel === null ? [] : listChannels(vessel)) {
      instruments.set(instrument.name, [...(instruments.get(instrument.name) ?? []), channel.quantity])
    }
    read.set(text, instruments)
    return instruments
  }
  const look = (records: readonly VesselRecord[], stream: Stream): Found => {
    const names = records.map(({ name }) => name)
    const vesselName = pick(stream.vessel, names)
    const record = records.find(({ name }) => name === vesselName)
    if (record === undefined) return unknown('unknown-vessel', 'vessel', stream.vessel, names)
    const instruments = instrumentsOf(record)
    const instrument = pick(stream.instrument, [...instruments.keys()])
    if (instrument === undefined) {
      return unknown('unknown-instrument', `instrument of ${record.name}`, stream.instrument, [
        ...instruments.keys(),
      ])
    }
    const quantities = instruments.get(instrument) ?? []
    const quantity = pick(stream.quantity, quantities)
    return quantity === undefined
      ? unknown(
          'unknown-quantity',
          `quantity of ${instrument} in ${record.name}`,
          stream.quantity,
          quantities,
        )
      : { found: true, stream: { vessel: record.name, instrument, quantity } }
  }
  /** What was found in these records, by what was written: making slugs of all names takes longer than the rest. */
  let records: readonly VesselRecord[] = []
  const remembered = new Map<string, Found>()
  const vesselByName = new Map<string, string | undefined>()
  const lookAnew = () => {
    const now = vessels()
    if (now === records && remembered.size <= MOST_REMEMBERED && vesselByName.size <= MOST_REMEMBERED) return
    records = now
    remembered.clear()
    vesselByName.clear()
  }
  return {
    vessel: written => {
      lookAnew()
      if (vesselByName.has(written)) return vesselByName.get(written)
      const found = pick(
        written,
        records.map(({ name }) => name),
      )
      if (written.length <= LONGEST_REMEMBERED) vesselByName.set(written, found)
      return found
    },
    find: stream => {
      lookAnew()
      const { vessel, instrument, quantity } = stream
      // Unambiguous whatever the names contain: the lengths come first.
      const written = `${vessel.length} ${instrument.length} ${vessel}${instrument}${quantity}`
      const known = remembered.get(written)
      if (known !== undefined) return known
      const found = look(records, stream)
      if (found.found && written.length <= LONGEST_REMEMBERED) remembered.set(written, found)
      return found
    },
  }
}

function pick(written: string, names: readonly string[]): string | undefined {
  if (names.includes(written)) return written
  const slug = slugOf(written)
  const same = names.filter(name => slugOf(name) === slug)
  return same.length === 1 ? same[0] : undefined
}

function unknown(
  code: 'unknown-vessel' | 'unknown-instrument' | 'unknown-quantity',
  what: string,
  written: string,
  names: readonly string[],
): Found {
  const meant = nearestWord(slugOf(written), names.map(slugOf))
  const all = names.length === 0 ? 'There is none yet.' : `There are: ${names.slice(0, 20).join(', ')}.`
  const cure = meant === null ? all : `Did you mean ${meant}?`
  return { found: false, code, message: `${quoted(written)} is no ${what}. ${cure}` }
}
