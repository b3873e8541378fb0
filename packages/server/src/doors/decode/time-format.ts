import { localSeconds, parseLocalDateTime } from '@attemper/core/units/local-time.ts'
import { quoted } from './quoted.ts'

export const TIME_FORMATS = ['unix s', 'unix ms', 'ISO 8601'] as const
export type TimeFormat = (typeof TIME_FORMATS)[number]

export type ReadTime =
  | { readonly ok: true; readonly at_ms: number }
  | { readonly ok: false; readonly message: string }

/** 9999-12-31T23:59:59.999Z: behind it no calendar agrees. */
const LATEST_MS = 253_402_300_799_999

/** A time as a device writes it, in milliseconds since 1970-01-01T00:00 UTC. Never throws. */
export function readTime(written: unknown, format: TimeFormat): ReadTime {
  if (format === 'ISO 8601') return readIsoTime(written)
  const number =
    typeof written === 'string' && /^\d+(?:\.\d+)?$/.test(written.trim()) ? Number(written) : written
  if (typeof number !== 'number') {
    return { ok: false, message: `The time ${quoted(written)} is no number; it was said to be in ${format}.` }
  }
  return timeFrom(format === 'unix s' ? number * 1000 : number)
}

export function timeFrom(at_ms: number): ReadTime {
  const rounded = Math.round(at_ms)
  return rounded >= 0 && rounded <= LATEST_MS
    ? { ok: true, at_ms: rounded }
    : {
        ok: false,
        message:
          'The time lies before 1970 or behind the year 9999; check its format, seconds or milliseconds.',
      }
}

const ISO = /^(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?(Z|[+-]\d{2}(?::?\d{2})?)$/i

function readIsoTime(written: unknown): ReadTime {
  if (typeof written !== 'string') {
    return { ok: false, message: `The time ${quoted(written)} is no text such as 2026-12-01T18:00:00Z.` }
  }
  const match = ISO.exec(written.trim().slice(0, 60))
  if (match === null) {
    const lacksOffset = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?$/.test(written.trim())
    return {
      ok: false,
      message: lacksOffset
        ? `The time ${quoted(written)} does not say in which zone; add Z or an offset such as +01:00.`
        : `The time ${quoted(written)} is not in ISO 8601; write it like 2026-12-01T18:00:00Z.`,
    }
  }
  const [, day, minute, second = '00', fraction = '0', offset = 'Z'] = match
  // A leap second is the same instant as the first second of the next minute.
  const leap = second === '60' ? 1 : 0
  const local = parseLocalDateTime(`${day}T${minute}:${leap === 1 ? '59' : second}`)
  if (!local.ok) return { ok: false, message: `${local.problem.message} ${local.problem.cure}` }
  const at_s = local.value.local_s + leap - offset_s(offset) - localSeconds(1970, 1, 1, 0, 0, 0)
  return timeFrom(at_s * 1000 + Math.floor(Number(`0.${fraction}`) * 1000))
}

function offset_s(offset: string): number {
  if (/^z$/i.test(offset)) return 0
  const [hours, minutes] = [Number(offset.slice(1, 3)), Number(offset.slice(3).replace(':', '') || 0)]
  return (offset.startsWith('-') ? -1 : 1) * (hours * 3600 + minutes * 60)
}
