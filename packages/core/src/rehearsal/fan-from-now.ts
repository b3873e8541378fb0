import { type Present, prepareFromNow } from './from-now.ts'
import type { FromNowResult } from './from-now-result.ts'
import { reduceFromNow } from './reduce-from-now.ts'
import { NOMINAL_RUN } from './run.ts'
import { simulateFromNow } from './run-from-now.ts'
import type { Setup } from './setup.ts'

export interface FanOptions {
  /** Number of drawn runs; the nominal run comes in addition. */
  readonly runs: number
  readonly seed: number
}

/**
 * How a running batch may go on, in one go: a rehearsal of many runs that starts from now. With several workers, or to
 * show a first picture early: `prepareFromNow` once, `simulateFromNow` for each run anywhere, and `reduceFromNow` over
 * the records that there are; the answer is the same to the last bit.
 *
 * @param before the batch by the plan so far, with its real start; `after`: by the plan that is to be rehearsed
 */
export function fanFromNow(
  before: Setup,
  after: Setup,
  present: Present,
  { runs, seed }: FanOptions,
): FromNowResult {
  const from = prepareFromNow(before, after, present, seed)
  const records = [simulateFromNow(from, NOMINAL_RUN)]
  for (let run = 1; run <= runs; run++) records.push(simulateFromNow(from, run))
  return reduceFromNow(from, records)
}
