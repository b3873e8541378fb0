import {
  apparentGravity,
  createFermentation,
  type FermentationParameters,
  type FermentationState,
  stepFermentation,
} from '../world/fermentation/core.ts'

const HOUR_S = 3600
/** A beer that has not come to a gravity after this much longer never will, h. */
const MOST_HOURS_ON = 1000
/** Slower than this it stands still, specific gravity per hour. */
const STILL_SG_PER_H = 1e-6

export interface SoFar {
  readonly state: FermentationState
  readonly gravity: number
  /** How much the gravity fell in the last hour, or part of an hour. */
  readonly fall_per_h: number
}

/** The fermentation alone, without vessel and controller, along the temperatures that the beer had. */
export function fermentSoFar(
  parameters: FermentationParameters,
  past_C: readonly number[],
  elapsed_s: number,
): SoFar {
  const state = createFermentation(parameters)
  let left_s = elapsed_s
  let before = apparentGravity(state, parameters)
  let step_s = HOUR_S
  for (const beer_C of past_C) {
    if (left_s <= HOUR_S) before = apparentGravity(state, parameters)
    step_s = Math.min(HOUR_S, left_s)
    stepFermentation(state, parameters, beer_C, step_s)
    left_s -= HOUR_S
  }
  const gravity = apparentGravity(state, parameters)
  return { state, gravity, fall_per_h: ((before - gravity) * HOUR_S) / step_s }
}

/**
 * The same fermentation at the moment when it comes to a gravity, sooner or later than it was given time for: for a beer
 * that went its own way. It comes as near as its end lets it.
 *
 * @param last_C temperature after the past
 * @param since_C the hours that have passed since it was at that gravity: the beer went on
 */
export function fermentUntil(
  parameters: FermentationParameters,
  past_C: readonly number[],
  last_C: number,
  gravity: number,
  since_C: readonly number[] = [],
): FermentationState {
  const state = createFermentation(parameters)
  let before = apparentGravity(state, parameters)
  for (let hour = 0; before > gravity && hour < past_C.length + MOST_HOURS_ON; hour++) {
    stepFermentation(state, parameters, past_C[hour] ?? last_C, HOUR_S)
    const after = apparentGravity(state, parameters)
    if (hour >= past_C.length && before - after < STILL_SG_PER_H) break
    before = after
  }
  for (const beer_C of since_C) stepFermentation(state, parameters, beer_C, HOUR_S)
  return state
}
