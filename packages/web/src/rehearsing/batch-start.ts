/** When a batch starts: an example starts today, and one that is started starts now, whatever date its text had. */
import { formatDate } from '@attemper/core/units/format.ts'
import { withValue } from './text-value.ts'

const DAY_s = 86_400

/** "2026-12-06T18:00", from seconds on a local clock. */
export function writtenStart(local_s: number): string {
  return new Date(local_s * 1000).toISOString().slice(0, 16)
}

/** The beer's text with another start, and nothing else of it changed. */
export function startingAt(beerText: string, local_s: number): string {
  return withValue(beerText, ['start'], writtenStart(local_s)) ?? beerText
}

/** What has to be said of a rehearsed start that is not today; null: it is. */
export function sayOtherDay(start_s: number, now_s: number): string | null {
  const [day, today] = [start_s, now_s].map(at => Math.floor(at / DAY_s))
  if (day === today) return null
  return day! < today!
    ? `It is rehearsed for a start on ${formatDate(start_s)}, which is past.`
    : `It is rehearsed for a start on ${formatDate(start_s)}.`
}
