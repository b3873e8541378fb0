import { formatDate } from '../units/format.ts'
import type { Instrument } from '../vessel/vessel.ts'
import type { Check, ReadinessCase } from './check.ts'

/** Instruments whose vessel file says how long a calibration is good for; null: it says so of none. */
export function checkCalibrations({ vessel, now_s, localOffset_s }: ReadinessCase): Check | null {
  const code = 'calibrations-in-date'
  const title = 'The calibrations are in date'
  const watched = vessel.instruments.filter(({ calibrateEvery_s }) => calibrateEvery_s !== undefined)
  if (watched.length === 0) return null
  const over = watched.filter(each => isOver(each, now_s + localOffset_s))
  if (over.length > 0) return { code, title, state: 'warning', sentence: over.map(sayOver).join(' ') }
  const next = watched.toSorted((a, b) => dueAt_s(a) - dueAt_s(b))[0]!
  const due = formatDate(dueAt_s(next))
  return { code, title, state: 'ok', sentence: `The next one, of ${next.name}, is due on ${due}.` }
}

/** Local time at which a calibration is over; one that was never made is over from the beginning. */
function dueAt_s({ calibrated, calibrateEvery_s }: Instrument): number {
  return calibrated === undefined ? Number.NEGATIVE_INFINITY : calibrated.local_s + calibrateEvery_s!
}

function isOver(instrument: Instrument, local_s: number): boolean {
  return local_s >= dueAt_s(instrument)
}

function sayOver(instrument: Instrument): string {
  const { name, calibrated } = instrument
  if (calibrated === undefined) return `${name} has never been calibrated, as far as the vessel file says.`
  return `${name} was last calibrated on ${formatDate(calibrated.local_s)}; that was good until ${formatDate(dueAt_s(instrument))}.`
}
