import type { Drill } from '@attemper/core/rehearsal/drills.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { DrillResult } from '@attemper/core/rehearsal/result.ts'
import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import { runDrill } from '@attemper/core/rehearsal/run-drill.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'

/** A run of the plan, or a drill. */
export type Job =
  | { readonly kind: 'run'; readonly run: number }
  | { readonly kind: 'drill'; readonly drill: Drill }

export type JobAnswer =
  | { readonly kind: 'run'; readonly record: RunRecord }
  | { readonly kind: 'drill'; readonly result: DrillResult }

export interface JobChunk {
  readonly setup: Setup
  readonly jobs: readonly Job[]
}

/** What a worker thread does with a chunk; the whole of it crosses to the thread and back as plain data. */
export function simulateJobs({ setup, jobs }: JobChunk): readonly JobAnswer[] {
  return jobs.map(job =>
    job.kind === 'run'
      ? { kind: 'run', record: simulateRun(setup, job.run) }
      : { kind: 'drill', result: runDrill(setup, job.drill) },
  )
}

export default simulateJobs
