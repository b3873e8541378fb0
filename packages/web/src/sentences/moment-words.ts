/** Moments on a vessel's own clock, with the brewer's kind of clock. Times are seconds since 1970-01-01T00:00 local time. */
import { formatClock, formatDate } from '@attemper/core/units/format.ts'
import type { Preferences } from '@attemper/server/http/published.ts'

export type ClockKind = Preferences['clock']

const DAY_s = 86_400
/** 1970-01-01 was a Thursday. */
const WEEKDAYS = ['Thursday', 'Friday', 'Saturday', 'Sunday', 'Monday', 'Tuesday', 'Wednesday']

/** "14:05", or "2:05 pm". */
export function sayClock(local_s: number, clock: ClockKind): string {
  return formatClock(local_s, { clock })
}

export function weekday(local_s: number): string {
  return WEEKDAYS[((Math.floor(local_s / DAY_s) % 7) + 7) % 7]!
}

/** "4 December", without the year. */
export function dayAndMonth(local_s: number): string {
  return formatDate(local_s).replace(/ \d+$/, '')
}

/** "today", "tomorrow", "on Friday", "on Friday 18 December": as one says it who knows what day it is. */
export function sayDay(local_s: number, now_s: number): string {
  const days = Math.floor(local_s / DAY_s) - Math.floor(now_s / DAY_s)
  if (days === 0) return 'today'
  if (days === 1) return 'tomorrow'
  if (days === -1) return 'yesterday'
  return days > 0 && days < 7 ? `on ${weekday(local_s)}` : `on ${weekday(local_s)} ${dayAndMonth(local_s)}`
}

/** "day 3, 14:05": the day of pitching is day 1. */
export function sayMoment(local_s: number, start_s: number, clock: ClockKind): string {
  const day = Math.floor(local_s / DAY_s) - Math.floor(start_s / DAY_s) + 1
  return `day ${day}, ${sayClock(local_s, clock)}`
}

/** Under a tick of an axis whose ticks stand so far apart: a day, or a time of day with the day at midnight. */
export function sayTick(local_s: number, apart_s: number, clock: ClockKind): string {
  const isMidnight = local_s % DAY_s === 0
  if (apart_s < DAY_s && !isMidnight) return sayClock(local_s, clock).replace(':00 ', ' ')
  const [day, month = ''] = dayAndMonth(local_s).split(' ')
  return apart_s < 7 * DAY_s ? `${weekday(local_s).slice(0, 3)} ${day}` : `${day} ${month.slice(0, 3)}`
}
