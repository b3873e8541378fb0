import { type DecodeContext, type Decoded, refuseAll, sortParts } from './decode-context.ts'
import { numberFrom } from './decode-mapped.ts'
import { makeReport } from './make-report.ts'
import { quoted } from './quoted.ts'
import { readJson } from './read-json.ts'
import { type ReadTime, readTime } from './time-format.ts'

const LONGEST_BYTES = 1024

/**
 * A message about a single reading, whose name its address gives: a plain number in the quantity's own unit, or
 * {"value": 64.4, "unit": "°F", "at": 1764612000} with the time in seconds since 1970 or in ISO 8601. Never throws.
 */
export function decodeValue(
  body: Uint8Array,
  name: { readonly vessel: string; readonly instrument: string; readonly quantity: string },
  context: DecodeContext,
): Decoded {
  if (body.length > LONGEST_BYTES) {
    return refuseAll(
      `The message has ${body.length} bytes; a single reading needs at most ${LONGEST_BYTES}.`,
      'too-many',
    )
  }
  const read = readJson(body)
  if (!read.ok) {
    const text = new TextDecoder().decode(body)
    const saysNoNumber = /^\s*[+-]?(?:nan|inf(?:inity)?)\s*$/i.test(text)
    return saysNoNumber
      ? refuseAll(`${quoted(text)} is no number; a reading needs a finite one.`, 'not-a-number')
      : refuseAll(read.message)
  }
  const { value } = read
  const fields =
    typeof value === 'object' && value !== null ? (value as Readonly<Record<string, unknown>>) : { value }
  if (!Object.hasOwn(fields, 'value')) {
    return refuseAll(
      'The message has no "value"; send a plain number, or {"value": 18.2, "unit": "°C", "at": 1764612000}.',
    )
  }
  const { unit } = fields
  if (unit !== undefined && typeof unit !== 'string')
    return refuseAll(`The unit is ${quoted(unit)} instead of a text.`)
  const made = makeReport(
    { index: 0, ...name, value: numberFrom(fields.value), unit, time: timeOf(fields.at, context) },
    context,
  )
  return sortParts([made])
}

function timeOf(at: unknown, { now_ms }: DecodeContext): ReadTime {
  if (at === undefined || at === null) return { ok: true, at_ms: now_ms }
  return readTime(at, typeof at === 'string' && !/^\s*\d+(?:\.\d+)?\s*$/.test(at) ? 'ISO 8601' : 'unix s')
}
