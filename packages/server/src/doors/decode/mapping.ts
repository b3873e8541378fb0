import { parsePointer } from './json-pointer.ts'
import { isUnitOf, unitsOfQuantity } from './own-unit.ts'
import { quoted } from './quoted.ts'
import { TIME_FORMATS, type TimeFormat } from './time-format.ts'

/** How to read the JSON of a device that speaks its own way. All pointers are JSON Pointers (RFC 6901). */
export interface Mapping {
  /** Array whose elements are read one by one, each as if it were the document; left out: the document is the only one. */
  readonly items?: string
  /** Instrument of all readings that do not name one. */
  readonly instrument?: string
  readonly readings: readonly MappedReading[]
  /** Left out: the readings are of now. */
  readonly time?: { readonly at: string; readonly format: TimeFormat }
}

export interface MappedReading {
  /** Where the number stands. A number written as a text is understood too. */
  readonly at: string
  readonly quantity: string
  readonly instrument?: string
  /** Left out: the quantity's own unit. */
  readonly unit?: string
}

/** What is wrong with a mapping itself, as sentences. */
export function faultsOfMapping(mapping: Mapping): readonly string[] {
  const faults: string[] = []
  const check = (pointer: string | undefined) => {
    const parsed = pointer === undefined ? null : parsePointer(pointer)
    if (parsed !== null && !parsed.ok) faults.push(parsed.message)
  }
  check(mapping.items)
  check(mapping.time?.at)
  if (mapping.time !== undefined && !TIME_FORMATS.includes(mapping.time.format)) {
    faults.push(
      `${quoted(mapping.time.format)} is no format of a time; it can be ${TIME_FORMATS.join(', ')}.`,
    )
  }
  if (mapping.readings.length === 0) faults.push('The mapping has no readings; add at least one.')
  for (const { at, quantity, instrument, unit } of mapping.readings) {
    check(at)
    if ((instrument ?? mapping.instrument) === undefined) {
      faults.push(`The reading of ${quoted(quantity)} does not say which instrument it comes from.`)
    }
    if (unit !== undefined && !isUnitOf(unit, quantity)) {
      faults.push(
        `${quoted(unit)} is no unit of ${quoted(quantity)}; it can be ${unitsOfQuantity(quantity)}.`,
      )
    }
  }
  return faults
}
