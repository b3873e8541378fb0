/** What a worker is given to do, and what comes back; all of it crosses to the worker and back as plain data. */
import { type Drill, drillsFor } from '@attemper/core/rehearsal/drills.ts'
import { type FromNow, type Present, prepareFromNow } from '@attemper/core/rehearsal/from-now.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { DrillResult } from '@attemper/core/rehearsal/result.ts'
import { NOMINAL_RUN, simulateRun } from '@attemper/core/rehearsal/run.ts'
import { recordDrill, runDrill } from '@attemper/core/rehearsal/run-drill.ts'
import { simulateFromNow } from '@attemper/core/rehearsal/run-from-now.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'

/**
 * One run; which drills there are; one drill; or a run or a drill once more with all its events, to be shown. Of a running
 * batch: its rehearsal from now, prepared, and one run of that. Each takes some hundredths of a second, and can not be
 * interrupted.
 */
export type Job =
  | { readonly kind: 'run'; readonly run: number }
  | { readonly kind: 'list drills' }
  | { readonly kind: 'drill'; readonly drill: Drill }
  | { readonly kind: 'show run'; readonly run: number }
  | { readonly kind: 'show drill'; readonly drill: Drill }
  | { readonly kind: 'prepare from now'; readonly order: ForecastOrder }
  | { readonly kind: 'run from now'; readonly from: FromNow; readonly run: number }

/** A running batch: by the plan so far, and by the plan that is to be rehearsed. */
export interface ForecastOrder {
  readonly before: Setup
  readonly after: Setup
  readonly present: Present
  readonly seed: number
}

export type Answer =
  | { readonly kind: 'run'; readonly record: RunRecord }
  | { readonly kind: 'drills'; readonly drills: readonly Drill[] }
  | { readonly kind: 'drill'; readonly result: DrillResult }
  /** null: the drill does not apply to this vessel. */
  | { readonly kind: 'shown'; readonly record: RunRecord | null }
  | { readonly kind: 'prepared'; readonly from: FromNow }

export function doJob(setup: Setup, job: Job): Answer {
  switch (job.kind) {
    case 'run':
      return { kind: 'run', record: simulateRun(setup, job.run) }
    case 'list drills':
      return { kind: 'drills', drills: drillsFor(setup) }
    case 'drill':
      return { kind: 'drill', result: runDrill(setup, job.drill) }
    case 'show run':
      return { kind: 'shown', record: simulateRun(setup, job.run, [], { keepEvents: true }) }
    case 'show drill':
      return { kind: 'shown', record: recordDrill(setup, job.drill).record }
    case 'prepare from now': {
      const { before, after, present, seed } = job.order
      return { kind: 'prepared', from: prepareFromNow(before, after, present, seed) }
    }
    case 'run from now':
      return {
        kind: 'run',
        record: simulateFromNow(job.from, job.run, { keepEvents: job.run === NOMINAL_RUN }),
      }
  }
}
