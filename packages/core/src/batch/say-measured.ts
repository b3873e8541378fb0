import type { SentenceContext } from '../report/sentences/context.ts'
import { formatClock, formatDate, formatQuantity, spellDuration } from '../units/format.ts'
import type { Measured } from './measured.ts'

export interface SayingNow {
  readonly context: SentenceContext
  readonly now_s: number
  /** Local time is UTC and this. */
  readonly localOffset_s: number
}

/** "6 days ago", "just now": in the largest whole unit, as one says it. */
export function sayAge(at_s: number, { now_s }: Pick<SayingNow, 'now_s'>): string {
  const age_s = now_s - at_s
  if (age_s < 60) return 'just now'
  const unit_s = [86_400, 3600, 60].find(each => age_s >= each) ?? 60
  return `${spellDuration(Math.floor(age_s / unit_s) * unit_s)} ago`
}

/** "13:05"; of another day "13:05 on 4 December 2026". */
export function saySince(at_s: number, { context, now_s, localOffset_s }: SayingNow): string {
  const local_s = at_s + localOffset_s
  const clock = formatClock(local_s, context.units)
  const isToday = Math.floor(local_s / 86_400) === Math.floor((now_s + localOffset_s) / 86_400)
  return isToday ? clock : `${clock} on ${formatDate(local_s)}`
}

/** A value with what must be known of it: "18.2 °C"; "1.014 by hand, 6 days ago"; "1.012, 3 hours ago". */
export function sayMeasured(
  { value, byHand, at_s, isOld, isBelieved }: Measured,
  quantity: string,
  saying: SayingNow,
): string {
  const { units, unitOf } = saying.context
  const said = formatQuantity(quantity, value, units, { unit: unitOf?.[quantity] })
  if (byHand) return `${said} by hand, ${sayAge(at_s, saying)}`
  return isOld || !isBelieved ? `${said}, ${sayAge(at_s, saying)}` : said
}
