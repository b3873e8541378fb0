import type { ControlSettings } from '../../plan/plan.ts'
import type { ControllerState } from '../contract.ts'
import { pidSample } from './pid.ts'

/** The air's target moves in steps of this size, so that it stands still between samples that hardly differ. */
const AIR_STEP_K = 0.1

/**
 * The outer loop of a cascade: the beer's error sets a target for the cabinet's air, sampled once per window. The inner
 * loop, on-off on the air, answers within minutes, so the cold that is still stored in an evaporator can not carry the
 * beer far below its target.
 */
export function sampleAirTarget(
  before: ControllerState,
  settings: ControlSettings,
  stage: number,
  target_C: number,
  beer_C: number,
  now_s: number,
): ControllerState {
  const elapsed_s = before.windowFrom_s === null ? settings.window_s : now_s - before.windowFrom_s
  const outer = { gain_per_K: settings.cascadeGain, integral_s: settings.integral_s, derivative_s: 0 }
  const sample = pidSample(
    outer,
    before,
    target_C,
    beer_C,
    elapsed_s,
    settings.airLowest_C - target_C,
    settings.airHighest_C - target_C,
  )
  // Adding 0 makes a plain zero of a negative one, which would not survive JSON.
  const airTarget_C = Math.round((target_C + sample.output) / AIR_STEP_K) * AIR_STEP_K + 0
  return { ...before, ...sample, airTarget_C, windowFrom_s: now_s, stage }
}
