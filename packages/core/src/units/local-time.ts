import { type Parsed, parsed, refused } from './problem.ts'

/** Seconds from 1970-01-01T00:00 on a clock that shows this local time, in the proleptic Gregorian calendar. */
export function localSeconds(
  year: number,
  month: number,
  day: number,
  hour: number,
  minute: number,
  second: number,
) {
  // Days are counted from 1 March, so that the leap day is the last of its year.
  const y = month <= 2 ? year - 1 : year
  const era = Math.floor(y / 400)
  const yearOfEra = y - era * 400
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear
  const days = era * 146097 + dayOfEra - 719468
  return days * 86400 + hour * 3600 + minute * 60 + second
}

/** A local date and time as the brewer wrote it (structurally plan.ts's LocalDateTime). */
export interface WrittenDateTime {
  readonly text: string
  readonly local_s: number
}

const DATE_TIME = /^(\d{4})-(\d{2})-(\d{2})(?:(?:T|\s+)(\d{1,2}):(\d{2})(?::(\d{2}))?)?$/i

/** Reads 2026-12-01T18:00, 2026-12-01 18:00 or 2026-12-01 (then midnight), without a time zone. Never throws. */
export function parseLocalDateTime(text: string): Parsed<WrittenDateTime> {
  const start = text.length - text.trimStart().length
  const body = text.trim()
  const wrong = (message: string) =>
    refused('bad-date', start, body.length, message, 'Write local date and time like 2026-12-01T18:00.')
  if (body === '') return wrong('Here should stand a date.')
  if (/(?:[Zz]|[+\-−]\d{2}(?::?\d{2})?)$/.test(body) && /\d:\d{2}/.test(body)) {
    return wrong('A time zone cannot be written here: times are those of the place where the vessel stands.')
  }
  const match = DATE_TIME.exec(body)
  if (match === null) return wrong(`“${body.slice(0, 40)}” is not a date and time.`)
  const [year, month, day, hour, minute, second] = match.slice(1, 7).map(part => Number(part ?? 0)) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ]
  if (month < 1 || month > 12 || day < 1 || day > daysInMonth(year, month)) {
    return wrong(`There is no such day as ${match[1]}-${match[2]}-${match[3]}.`)
  }
  if (hour > 23 || minute > 59 || second > 59) return wrong(`There is no such time in “${body}”.`)
  return parsed({ text: body, local_s: localSeconds(year, month, day, hour, minute, second) })
}

function daysInMonth(year: number, month: number): number {
  if (month === 2) return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0) ? 29 : 28
  return [4, 6, 9, 11].includes(month) ? 30 : 31
}

/** Reads a time of day such as 08:00 or 22:30; in s after midnight. 24:00 is the end of the day. Never throws. */
export function parseTimeOfDay(text: string): Parsed<number> {
  const start = text.length - text.trimStart().length
  const body = text.trim()
  const match = /^(\d{1,2}):(\d{2})$/.exec(body)
  const hour = Number(match?.[1] ?? Number.NaN)
  const minute = Number(match?.[2] ?? Number.NaN)
  if (hour * 60 + minute <= 24 * 60 && minute < 60) return parsed((hour * 60 + minute) * 60)
  return refused(
    'bad-time-of-day',
    start,
    body.length,
    body === '' ? 'Here should stand a time of day.' : `“${body.slice(0, 40)}” is not a time of day.`,
    'Write it like 08:00 or 22:30.',
  )
}
