import { formatClock, formatDate } from '@attemper/core/units/format.ts'

/** "on 4 December 2026 at 18:32", from seconds since 1970-01-01T00:00 on the local clock. */
export function sayTime(local_s: number): string {
  return `on ${formatDate(local_s)} at ${formatClock(local_s)}`
}
