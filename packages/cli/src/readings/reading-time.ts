import { localSeconds } from '@attemper/core/units/local-time.ts'

/** How the times of a CSV file are written. The first four count from pitching; the others are moments. */
export const TIME_UNITS = ['s', 'min', 'h', 'd', 'iso', 'dmy', 'mdy', 'unix', 'unix-ms'] as const
export type TimeUnit = (typeof TIME_UNITS)[number]

const SECONDS = { s: 1, min: 60, h: 3600, d: 86_400 } as const

export function countsFromPitching(unit: TimeUnit): unit is keyof typeof SECONDS {
  return unit in SECONDS
}

/** A time as it is written, in s, to the millisecond. */
export interface WrittenTime {
  readonly time_s: number
  /** What it counts from: pitching, 1970-01-01T00:00 UTC, or the same on a clock that is not named. */
  readonly since: 'pitching' | 'UTC' | 'local'
}

/**
 * Whole seconds: from pitching, or from 1970-01-01T00:00 on the vessel's own clock. `utcOffset_s` turns moments that name
 * a zone, or count from 1970 UTC, into that clock's. null when the text is not such a time.
 */
export function readTime(text: string, unit: TimeUnit, utcOffset_s: number): number | null {
  const written = readWrittenTime(text, unit)
  return written === null ? null : Math.round(onClock(written, utcOffset_s))
}

/** On a clock that is ahead of UTC by so much. */
export function onClock({ time_s, since }: WrittenTime, utcOffset_s: number): number {
  return since === 'UTC' ? time_s + utcOffset_s : time_s
}

/** null when the text is not such a time. */
export function readWrittenTime(text: string, unit: TimeUnit): WrittenTime | null {
  if (countsFromPitching(unit)) {
    const count = numberOf(text)
    return count === null ? null : { time_s: wholeMilliseconds(count * SECONDS[unit]), since: 'pitching' }
  }
  if (unit === 'unix' || unit === 'unix-ms') {
    const count = numberOf(text)
    if (count === null) return null
    return { time_s: wholeMilliseconds(unit === 'unix' ? count : count / 1000), since: 'UTC' }
  }
  const parts = unit === 'iso' ? isoParts(text) : dottedParts(text, unit)
  if (parts === null) return null
  const { year, month, day, hour, minute, second, zone_s } = parts
  if (month < 1 || month > 12 || day < 1 || day > 31 || hour > 24 || minute > 59 || second >= 61) return null
  const local_s = wholeMilliseconds(localSeconds(year, month, day, hour, minute, second))
  return zone_s === null ? { time_s: local_s, since: 'local' } : { time_s: local_s - zone_s, since: 'UTC' }
}

function wholeMilliseconds(time_s: number): number {
  return Math.round(time_s * 1000) / 1000
}

/** A number with a decimal point or comma; null when it is none. */
export function numberOf(text: string): number | null {
  const plain = text.trim().replace(/^([+-]?\d+),(\d+)$/, '$1.$2')
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain) ? Number(plain) : null
}

/** "+01:00", "-0530" or "Z", in s; null when it is none. */
export function zoneOffset_s(text: string): number | null {
  if (/^z$/i.test(text)) return 0
  const match = /^([+-])(\d{2}):?(\d{2})?$/.exec(text.replace('−', '-'))
  if (match === null) return null
  const size = Number(match[2]) * 3600 + Number(match[3] ?? 0) * 60
  return match[1] === '-' ? -size : size
}

interface Parts {
  readonly year: number
  readonly month: number
  readonly day: number
  readonly hour: number
  readonly minute: number
  readonly second: number
  readonly zone_s: number | null
}

function isoParts(text: string): Parts | null {
  const match =
    /^(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ]+(\d{1,2}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?)?\s*(Z|[+-−]\d{2}:?(?:\d{2})?)?$/i.exec(
      text.trim(),
    )
  if (match === null) return null
  const zone_s = match[7] === undefined ? null : zoneOffset_s(match[7])
  return partsOf(match[1], match[2], match[3], match[4], match[5], match[6], zone_s)
}

function dottedParts(text: string, order: 'dmy' | 'mdy'): Parts | null {
  const match =
    /^(\d{1,2})[./-](\d{1,2})[./-](\d{4}|\d{2})(?:,?\s+(\d{1,2}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?\s*([ap])?\.?m?\.?)?$/i.exec(
      text.trim(),
    )
  if (match === null) return null
  const [day, month] = order === 'dmy' ? [match[1], match[2]] : [match[2], match[1]]
  const year = match[3]!.length === 2 ? `20${match[3]}` : match[3]
  const half = match[7]?.toLowerCase()
  const hour = match[4] === undefined || half === undefined ? match[4] : twentyFour(Number(match[4]), half)
  return partsOf(year, month, day, hour, match[5], match[6], null)
}

function twentyFour(hour: number, half: string): string {
  return String((hour % 12) + (half === 'p' ? 12 : 0))
}

function partsOf(
  year: string | undefined,
  month: string | undefined,
  day: string | undefined,
  hour: string | undefined,
  minute: string | undefined,
  second: string | undefined,
  zone_s: number | null,
): Parts {
  return {
    year: Number(year),
    month: Number(month),
    day: Number(day),
    hour: Number(hour ?? 0),
    minute: Number(minute ?? 0),
    second: Number((second ?? '0').replace(',', '.')),
    zone_s,
  }
}
