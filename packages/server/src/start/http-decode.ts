import { decode } from '../doors/decode/decode.ts'
import type { NameBook } from '../doors/decode/decode-context.ts'
import { readDoorSettings } from '../doors/door-settings.ts'
import { sameName } from '../doors/slug.ts'
import type { Decode } from '../http/http-app.ts'
import type { VesselRecord } from '../store/store.ts'

/** Decodes what comes by HTTP with the names and mappings of the vessels as they are at the moment. */
export function httpDecode(vessels: () => readonly VesselRecord[], names: NameBook): Decode {
  return (contentType, body, { vessel, mapping, now_ms }) => {
    const record = vessels().find(({ name }) => vessel !== undefined && sameName(name, vessel))
    const named =
      mapping === undefined ? {} : (readDoorSettings(record?.doors ?? '', '').settings?.mappings ?? {})
    return decode(contentType, body, {
      names,
      now_ms,
      mappings: Object.fromEntries(Object.entries(named).map(([name, each]) => [name, each.mapping])),
      ...(vessel === undefined ? {} : { vessel }),
      ...(mapping === undefined ? {} : { mapping }),
    })
  }
}
