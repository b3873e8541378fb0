import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'

/** Where a run went from one stage to the next, and what the beer was like then. */
export interface Transition {
  readonly stage: string
  /** Hours from the start. */
  readonly at_h: number
  readonly beer_C: number
  readonly gravity: number
}

/** The beginnings of a run's stages, in the order of time; a stage that is entered twice is there twice. */
export function transitionsOf(
  { stages, trace }: RunRecord,
  setup: Pick<Setup, 'sample_s' | 'plan'>,
): readonly Transition[] {
  const last = trace.beer_C.length - 1
  return stages.map(({ stage, began_s }) => {
    const sample = Math.max(0, Math.min(last, Math.round(began_s / setup.sample_s)))
    return {
      stage: setup.plan.stages[stage]!.name,
      at_h: began_s / 3600,
      beer_C: trace.beer_C[sample]!,
      gravity: trace.gravity[sample]!,
    }
  })
}
