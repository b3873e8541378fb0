import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { localClock, localSeconds } from './local-moment.ts'
import { dayAndMonth } from './moment-words.ts'

/** "since 13:27", or "since 13:27 on 4 December" when that is another day; times of the cellar, told where the reader is. */
export function sinceWords(heard_ms: number, now_ms: number, units: Pick<DisplayUnits, 'clock'>): string {
  const clock = localClock(heard_ms, units)
  const day = dayAndMonth(localSeconds(heard_ms))
  return day === dayAndMonth(localSeconds(now_ms)) ? `since ${clock}` : `since ${clock} on ${day}`
}
