import type { VesselRecord } from '../store/store.ts'
import { decode } from './decode/decode.ts'
import type { Decoded } from './decode/decode-context.ts'
import type { Mapping } from './decode/mapping.ts'
import { readDoorSettings } from './door-settings.ts'
import { nameBook } from './name-book.ts'

type Mappings = Readonly<Record<string, Mapping>>

export type CellarDecode = (
  contentType: string,
  body: Uint8Array,
  context: { readonly vessel?: string; readonly mapping?: string; readonly now_ms: number },
) => Decoded

/** `decode` for a cellar: with the names of its vessels, and the mappings that their door settings hold. */
export function cellarDecode(vessels: () => readonly VesselRecord[]): CellarDecode {
  const names = nameBook(vessels)
  /** A record that is changed becomes another one. Reading its settings takes longer than a message may. */
  const read = new WeakMap<VesselRecord, Mappings>()
  const mappingsOf = (record: VesselRecord): Mappings => {
    const known = read.get(record)
    if (known !== undefined) return known
    const { settings } = readDoorSettings(record.doors, record.name)
    const named = Object.entries(settings?.mappings ?? {})
    const mappings = Object.fromEntries(named.map(([name, { mapping }]) => [name, mapping]))
    read.set(record, mappings)
    return mappings
  }
  return (contentType, body, context) => {
    const { vessel, mapping } = context
    if (vessel === undefined || mapping === undefined) return decode(contentType, body, { ...context, names })
    const meant = names.vessel(vessel)
    const record = vessels().find(({ name }) => name === meant)
    const mappings = record === undefined ? {} : mappingsOf(record)
    return decode(contentType, body, { ...context, names, mappings })
  }
}
