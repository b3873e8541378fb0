import type { RefusalCode, Report } from '../doors/report.ts'
import type { KnownVessel } from './known-vessels.ts'

/** A device's clock may be ahead of the cellar's by this much. */
const AHEAD_MS = 5 * 60_000
/** A float that stored while it was out of reach may be late, but not by more than this. */
const LATE_MS = 400 * 86_400_000
/** No log of a fermentation is older: before 1800, somebody has mistaken the unit or the digits of the year. */
export const EARLIEST_MS = Date.UTC(1800, 0, 1)
/** Times that a date can have (ECMA-262, 21.4.1.1). */
const LATEST_MS = 8.64e15
/** No quantity in its own unit (°C, SG, Pa, W, ...) is larger in a cellar. */
const LARGEST = 1e9

export interface Complaint {
  readonly code: RefusalCode
  readonly message: string
}

/**
 * What is wrong with a report; null: nothing. A value outside the instrument's range is not refused: that a probe reads
 * 85 °C is worth keeping, and the engine does not believe it. `isPast`: somebody knows that it is old.
 */
export function checkReport(
  report: Report,
  vessels: ReadonlyMap<string, KnownVessel>,
  now_ms: number,
  isPast = false,
): Complaint | null {
  const { vessel, instrument, quantity, value, at_ms } = report
  const known = vessels.get(vessel)
  if (!known) {
    return complain(
      'unknown-vessel',
      `There is no vessel ${quote(vessel)}; ${listOf('vessels', vessels.keys())}.`,
    )
  }
  const channels = known.channels.get(instrument)
  if (!channels) {
    const list = listOf('instruments', known.channels.keys())
    return complain('unknown-instrument', `${vessel} has no instrument ${quote(instrument)}; ${list}.`)
  }
  if (!channels.has(quantity)) {
    const list = listOf('quantities', channels.keys())
    return complain(
      'unknown-quantity',
      `${instrument} of ${vessel} does not measure ${quote(quantity)}; ${list}.`,
    )
  }
  if (!Number.isFinite(value)) {
    return complain(
      'not-a-number',
      `The ${quantity} of ${instrument} should be a finite number, not ${value}.`,
    )
  }
  if (Math.abs(value) > LARGEST) {
    return complain(
      'out-of-range',
      `${value} can not be the ${quantity} of anything: look at the sender's units.`,
    )
  }
  if (!(Math.abs(at_ms) <= LATEST_MS)) {
    return complain(
      'wrong-shape',
      `The time of the reading should be milliseconds since 1970 UTC, not ${at_ms}.`,
    )
  }
  if (isPast && at_ms > now_ms + AHEAD_MS) {
    return complain(
      'time-in-future',
      `${new Date(at_ms).toISOString()} is still to come. Look at the zone of the times, and at the order of day and month.`,
    )
  }
  if (at_ms > now_ms + AHEAD_MS) {
    const ahead_min = Math.round((at_ms - now_ms) / 60_000)
    return complain(
      'time-in-future',
      `The reading is dated ${ahead_min} min ahead of the cellar's clock; 5 min are allowed. Set the sender's clock, or leave the time out.`,
    )
  }
  if (isPast && at_ms < EARLIEST_MS) {
    return complain(
      'time-too-old',
      `${new Date(at_ms).toISOString()} is before 1800. Look at how the times are written, and at their unit.`,
    )
  }
  if (!isPast && at_ms < now_ms - LATE_MS) {
    const late_d = Math.round((now_ms - at_ms) / 86_400_000)
    return complain(
      'time-too-old',
      `The reading is dated ${late_d} days ago; 400 days are allowed. Set the sender's clock, or leave the time out.`,
    )
  }
  return null
}

function complain(code: RefusalCode, message: string): Complaint {
  return { code, message }
}

/** A name from outside may be of any length. */
function quote(name: string): string {
  const text = String(name)
  return `"${text.length > 60 ? `${text.slice(0, 60)}…` : text}"`
}

function listOf(what: string, names: Iterable<string>): string {
  const list = [...names]
  return list.length === 0 ? `there are no ${what} yet` : `there are: ${list.slice(0, 20).join(', ')}`
}
