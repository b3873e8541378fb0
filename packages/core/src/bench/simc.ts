import type { PidTuning, SeriesTuning } from './pid-tuning.ts'
import { type ProcessModel, reduceByHalfRule } from './process-model.ts'

/**
 * The SIMC rules, for a wished closed-loop time constant. As long as the dead time is the tightest that is sensible;
 * larger is calmer.
 *
 * Source: S. Skogestad, J. Process Control 13 (2003) 291-309. An integrating process is the limit of a large lag.
 *
 * @param closedLoop_s Wished time constant of the closed loop; left out: the reduced model's dead time.
 */
export function tuneSimcPi(process: ProcessModel, closedLoop_s?: number, sampling_s = 0): PidTuning {
  const { gain, integral_s } = tune(process, 1, closedLoop_s, sampling_s)
  return { gain, integral_s, derivative_s: 0 }
}

/** The same with derivative action against the second lag, in the series form of the paper. */
export function tuneSimcPid(process: ProcessModel, closedLoop_s?: number, sampling_s = 0): SeriesTuning {
  return { form: 'series', ...tune(process, 2, closedLoop_s, sampling_s) }
}

function tune(
  process: ProcessModel,
  order: 1 | 2,
  closedLoop_s: number | undefined,
  sampling_s: number,
): PidTuning {
  const model = reduceByHalfRule(process, order, sampling_s)
  const total_s = (closedLoop_s ?? model.deadTime_s) + model.deadTime_s
  const perGain = model.lag_s === Number.POSITIVE_INFINITY ? 1 : model.lag_s
  return {
    gain: perGain / (model.gain * total_s),
    integral_s: Math.min(model.lag_s, 4 * total_s),
    derivative_s: model.secondLag_s,
  }
}
