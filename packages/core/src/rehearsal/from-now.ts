import type { EngineState } from '../engine/contract.ts'
import { pastTemperature_C, type RecordedTemperature } from './past-temperature.ts'
import type { Setup } from './setup.ts'

/** A running batch at a moment. */
export interface Present {
  readonly now_s: number
  /** As the engine goes on from, under the plan that is rehearsed. */
  readonly state: EngineState
  /** What is believed; null: unknown. */
  readonly gravity: number | null
  readonly beer_C: number | null
  /**
   * One standard deviation of the two, when an estimate of them is better than a reading. Left out: what the vessel file
   * says of the instrument in charge (noise, foam, resolution, bias, drift).
   */
  readonly gravity_sd?: number
  readonly beer_sd_K?: number
  /** The beer's temperature since pitching as it was recorded, oldest first. Left out: as in the nominal run. */
  readonly recorded?: readonly RecordedTemperature[]
}

/** What is taken to happen now, although it has not been decided: a held batch would otherwise wait for as long as its plan lets it. */
export type Assumption = 'resumed now'

/** The rest of a batch, ready to be rehearsed. Plain data: it can be sent to a worker. */
export interface FromNow {
  /** By the plan that is to be rehearsed; its start is now. */
  readonly setup: Setup
  readonly present: Omit<Present, 'recorded'>
  /** null: nothing. */
  readonly assumes: Assumption | null
  readonly pitched_s: number
  /** The beer's temperature since pitching, a value for the beginning of each hour. */
  readonly past_C: readonly number[]
}

/**
 * Prepares the rehearsal of a batch that is under way, from now on. It costs one nominal run, unless the temperatures so
 * far are given.
 *
 * @param before the batch by the plan so far, with its real start; `after`: by the plan that is to be rehearsed
 * @param seed of the runs
 */
export function prepareFromNow(before: Setup, after: Setup, given: Present, seed: number): FromNow {
  const { recorded, ...present } = given
  const { now_s, state } = present
  const { program } = after
  const beer = {
    ...after.beer,
    originalGravity: state.originalGravity ?? after.beer.originalGravity,
    finalGravity: { ...after.beer.finalGravity, value: state.finalGravity ?? after.beer.finalGravity.value },
  }
  const pitched_s = Math.min(now_s, state.startedAt_s ?? before.start_s)
  const start = { ...beer.start, local_s: now_s + program.localOffset_s }
  return {
    setup: { ...after, seed, start_s: now_s, beer: { ...beer, start } },
    present,
    assumes: state.batch === 'held' ? 'resumed now' : null,
    pitched_s,
    past_C: pastTemperature_C(before, {
      from_s: pitched_s,
      to_s: now_s,
      stage: program.stages[state.stage]?.name ?? null,
      stageSince_s: state.stageSince_s,
      recorded: recorded ?? [],
    }),
  }
}
