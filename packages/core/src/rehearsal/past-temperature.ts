import { NOMINAL_RUN, simulateRun } from './run.ts'
import type { Setup } from './setup.ts'

const HOUR_S = 3600

export interface RecordedTemperature {
  readonly at_s: number
  readonly beer_C: number
}

export interface Past {
  readonly from_s: number
  readonly to_s: number
  /** Where the batch stands, and since when; null: its plan has no stage. */
  readonly stage: string | null
  readonly stageSince_s: number
  readonly recorded: readonly RecordedTemperature[]
}

/**
 * The beer's temperature from pitching on, °C, at the beginning of each hour: what the yeast went through. It is as
 * recorded, held between two records; without records as in the nominal run, stretched in time so that it enters the
 * present stage when the batch did.
 */
export function pastTemperature_C(setup: Setup, past: Past): readonly number[] {
  const { from_s, to_s, recorded } = past
  const at_C = recorded.length > 0 ? asRecorded(recorded) : asNominal(setup, past)
  return Array.from({ length: Math.max(0, Math.ceil((to_s - from_s) / HOUR_S)) }, (_, hour) =>
    at_C(from_s + hour * HOUR_S),
  )
}

/** Call it with rising times. */
function asRecorded(recorded: readonly RecordedTemperature[]): (t_s: number) => number {
  let next = 1
  return t_s => {
    while (next < recorded.length && recorded[next]!.at_s <= t_s) next++
    return recorded[next - 1]!.beer_C
  }
}

function asNominal(setup: Setup, past: Past): (t_s: number) => number {
  const { from_s, stage, stageSince_s } = past
  const { trace, stages } = simulateRun(setup, NOMINAL_RUN)
  const number = setup.plan.stages.findIndex(({ name }) => name === stage)
  const began_s = stages.findLast(each => each.stage === number)?.began_s ?? 0
  const reallyBegan_s = Math.max(0, stageSince_s - from_s)
  const samples = trace.beer_C
  return t_s => {
    const elapsed_s = t_s - from_s
    const nominal_s =
      elapsed_s < reallyBegan_s
        ? (elapsed_s * began_s) / reallyBegan_s
        : began_s + Math.min(elapsed_s - reallyBegan_s, lastedFrom(began_s))
    const sample = Math.round(nominal_s / setup.sample_s)
    return samples[Math.min(samples.length - 1, sample)]!
  }

  /** The nominal run may have left the stage sooner than the batch. */
  function lastedFrom(began_s: number): number {
    const left_s = stages.find(each => each.stage === number && each.began_s === began_s)?.ended_s
    return (left_s ?? Number.POSITIVE_INFINITY) - began_s
  }
}
