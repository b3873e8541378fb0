/** What a worker is given to do, and what comes back; all of it crosses to the worker and back as plain data. */
import { type Drill, drillsFor } from '@attemper/core/rehearsal/drills.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { DrillResult } from '@attemper/core/rehearsal/result.ts'
import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import { recordDrill, runDrill } from '@attemper/core/rehearsal/run-drill.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'

/**
 * One run; which drills there are; one drill; or a run or a drill once more with all its events, to be shown. Each takes
 * some hundredths of a second, and can not be interrupted.
 */
export type Job =
  | { readonly kind: 'run'; readonly run: number }
  | { readonly kind: 'list drills' }
  | { readonly kind: 'drill'; readonly drill: Drill }
  | { readonly kind: 'show run'; readonly run: number }
  | { readonly kind: 'show drill'; readonly drill: Drill }

export type Answer =
  | { readonly kind: 'run'; readonly record: RunRecord }
  | { readonly kind: 'drills'; readonly drills: readonly Drill[] }
  | { readonly kind: 'drill'; readonly result: DrillResult }
  /** null: the drill does not apply to this vessel. */
  | { readonly kind: 'shown'; readonly record: RunRecord | null }

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
  }
}
