import type { ControlSettings } from '../../plan/plan.ts'
import type { ControllerState } from '../contract.ts'
import { bumpless, pidSample } from './pid.ts'

/** Below this share of a window an appliance is not switched at all: the pulse would wear the relay and heat nothing. */
const SHORTEST_SHARE = 0.02

/**
 * PI(D) with a time-proportioned output: once per window the controller is sampled, and the appliance then is on for the
 * output's share of the window. Output −1…1: heat above zero, cold below.
 */
export function sampleProportional(
  before: ControllerState,
  settings: ControlSettings,
  stage: number,
  isChanged: boolean,
  target_C: number,
  beer_C: number,
  now_s: number,
  canCool: boolean,
): ControllerState {
  const least = canCool ? -1 : 0
  const elapsed_s = before.windowFrom_s === null ? settings.window_s : now_s - before.windowFrom_s
  const memory = isChanged ? bumpless(settings, before, target_C - beer_C, least, 1) : before
  const sample = pidSample(settings, memory, target_C, beer_C, elapsed_s, least, 1)
  return { ...before, ...pulse(sample.output, settings.window_s, now_s), ...sample, stage }
}

/** A window that begins now, with heat or cold on for the share that the output asks for. */
export function pulse(output: number, window_s: number, now_s: number) {
  const share = Math.abs(output) < SHORTEST_SHARE ? 0 : Math.abs(output)
  const end_s = now_s + Math.round(share * window_s)
  return {
    output,
    windowFrom_s: now_s,
    heatUntil_s: output > 0 ? end_s : now_s,
    coolUntil_s: output < 0 ? end_s : now_s,
  }
}
