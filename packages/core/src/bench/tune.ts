import type { PidTuning } from './pid-tuning.ts'
import type { ProcessModel } from './process-model.ts'
import { reduceByHalfRule } from './process-model.ts'
import { largestSensitivity } from './sensitivity.ts'
import { tuneSimcPi } from './simc.ts'

/** Settings for the proportional method of a plan or a vessel, and why. */
export interface RecommendedSettings {
  readonly gain_per_K: number
  readonly integral_s: number
  readonly derivative_s: 0
  readonly window_s: number
  /** Largest sensitivity of the loop that results; see {@link largestSensitivity}. */
  readonly sensitivity: number
  /** What decided the window's length. */
  readonly windowBy: 'dead time' | 'least switching time'
}

/**
 * Settings of the proportional method for a vessel, from its step response: SIMC with the wished closed-loop time as
 * long as the dead time, the window of the proportioned output counted in as the sampling time that it is.
 *
 * SIMC and not the older step-response rules, because those leave a largest sensitivity of 2.4 to 4.5 on vessels of this
 * kind: a vessel a little different from its model would hunt. A window of a quarter of the dead time is short enough not
 * to be seen in the temperature (common practice, no source).
 *
 * @param process Gain in K per share of full power.
 * @param leastSwitching_s Shortest time for which the appliance may be on or off: 1 to 5 s for a solid-state relay, 20 to
 *   60 s for a contact relay. The window is at least four times as long, so that a quarter of the power can be had.
 */
export function recommendProportional(process: ProcessModel, leastSwitching_s: number): RecommendedSettings {
  const shortest_s = 4 * leastSwitching_s
  const wished_s = reduceByHalfRule(process, 1).deadTime_s / 4
  const window_s = Math.max(shortest_s, wished_s)
  const settings: PidTuning = tuneSimcPi(process, undefined, window_s)
  const sampled = { ...process, deadTime_s: process.deadTime_s + window_s / 2 }
  return {
    gain_per_K: settings.gain,
    integral_s: settings.integral_s,
    derivative_s: 0,
    window_s,
    sensitivity: largestSensitivity(sampled, settings),
    windowBy: wished_s > shortest_s ? 'dead time' : 'least switching time',
  }
}
