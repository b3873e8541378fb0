import type { VesselRecord } from '../store/store.ts'
import { decode } from './decode/decode.ts'
import type { Decoded } from './decode/decode-context.ts'
import { readDoorSettings } from './door-settings.ts'
import { nameBook } from './name-book.ts'
import { sameName } from './slug.ts'

export type CellarDecode = (
  contentType: string,
  body: Uint8Array,
  context: { readonly vessel?: string; readonly mapping?: string; readonly now_ms: number },
) => Decoded

/** `decode` for a cellar: with the names of its vessels, and the mappings that their door settings hold. */
export function cellarDecode(vessels: () => readonly VesselRecord[]): CellarDecode {
  const names = nameBook(vessels)
  return (contentType, body, context) => {
    const { vessel } = context
    const record = vessel === undefined ? undefined : vessels().find(({ name }) => sameName(name, vessel))
    const settings = record === undefined ? null : readDoorSettings(record.doors, record.name).settings
    const mappings = Object.fromEntries(
      Object.entries(settings?.mappings ?? {}).map(([name, { mapping }]) => [name, mapping]),
    )
    return decode(contentType, body, { ...context, names, mappings })
  }
}
