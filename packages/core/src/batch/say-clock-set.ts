import { formatDuration } from '../units/format.ts'
import type { ClockSet } from './journal.ts'

/** What happened to the machine's clock, and what that means for the times of a batch. */
export function sayClockSet({ clock_s, times_s, wasAway }: ClockSet): string {
  const by = formatDuration(Math.abs(clock_s))
  const what = wasAway
    ? `The machine's clock stands ${by} ${clock_s < 0 ? 'before' : 'after'} the last record of the batch`
    : `The machine's clock was put ${clock_s < 0 ? 'back' : 'forward'} by ${by}`
  return `${what}; ${followed(clock_s, times_s)}.`
}

function followed(clock_s: number, times_s: number): string {
  if (times_s === clock_s) return 'the times of the batch were moved with it'
  if (times_s === 0) return 'the times of the batch stay as they were'
  return `the times of the batch were moved ${times_s < 0 ? 'back' : 'forward'} by ${formatDuration(Math.abs(times_s))}`
}
