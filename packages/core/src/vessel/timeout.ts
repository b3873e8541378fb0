import type { Instrument } from './vessel.ts'

/** A timeout is never shorter than this many reporting intervals: one report may get lost, and a second come late. */
export const LEAST_INTERVALS = 3
const USUAL_INTERVALS = 4
const SHORTEST_S = 60

/**
 * Silence after which an instrument is no longer believed, s.
 *
 * Counted in missed reports and not in seconds alone, so that a float that reports every half an hour can not flap
 * against a timeout of two minutes (fieldbus practice: staleness counts missed publications).
 */
export function silenceAllowed_s(instrument: Instrument): number {
  const wished_s = instrument.timeout_s ?? Math.max(SHORTEST_S, USUAL_INTERVALS * instrument.every_s)
  return Math.max(wished_s, LEAST_INTERVALS * instrument.every_s)
}
