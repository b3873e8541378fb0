import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { formatClock, formatDate } from '@attemper/core/units/format.ts'

/** Seconds on the wall clock of whoever looks. */
export function localSeconds(at_ms: number): number {
  return at_ms / 1000 - new Date(at_ms).getTimezoneOffset() * 60
}

/** “25 November 2026, 14:05”, where the reader is. */
export function localMoment(at_ms: number, units: Pick<DisplayUnits, 'clock'>): string {
  return `${localDay(at_ms)}, ${localClock(at_ms, units)}`
}

/** “25 November 2026”, where the reader is. */
export function localDay(at_ms: number): string {
  return formatDate(localSeconds(at_ms))
}

/** “14:05”, where the reader is. */
export function localClock(at_ms: number, units: Pick<DisplayUnits, 'clock'>): string {
  return formatClock(localSeconds(at_ms), units)
}
