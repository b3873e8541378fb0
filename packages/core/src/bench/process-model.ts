/**
 * A process as the tuning rules see it: a gain, lags one after the other, a dead time, perhaps an integrator, and
 * perhaps an inverse response (a numerator 1 - T s).
 *
 *     G(s) = gain * (1 - T1 s)... * e^(-deadTime s) / ((lag1 s + 1)(lag2 s + 1)...)        [times 1/s if integrating]
 *
 * Times in s. The gain is what the output finally changes by per unit of input; with an integrator, what it changes by
 * per s and unit of input. Input and output may have any unit: K per share of full power for a vessel.
 */
export interface ProcessModel {
  readonly gain: number
  /** In any order. */
  readonly lags_s: readonly number[]
  readonly deadTime_s: number
  readonly inverse_s?: readonly number[]
  readonly integrating?: boolean
}

/** The usual first-order model with dead time. */
export function firstOrder(gain: number, lag_s: number, deadTime_s: number): ProcessModel {
  return { gain, lags_s: [lag_s], deadTime_s }
}

/** What a tuning rule needs of a process: at most two lags, and everything else counted as dead time. */
export interface ReducedModel {
  readonly gain: number
  /** Infinity for an integrating process; then `gain` is per s. */
  readonly lag_s: number
  /** 0 when reduced to first order. */
  readonly secondLag_s: number
  readonly deadTime_s: number
}

/**
 * The half rule: the largest neglected lag is shared half and half between the smallest kept lag and the dead time; all
 * smaller ones, an inverse response and half the sampling time count as dead time.
 *
 * Source: S. Skogestad, "Simple analytic rules for model reduction and PID controller tuning", J. Process Control 13
 * (2003) 291-309.
 *
 * @param sampling_s How often the controller is computed or its window begins; 0: continuously.
 */
export function reduceByHalfRule(process: ProcessModel, order: 1 | 2, sampling_s = 0): ReducedModel {
  const sorted = [...process.lags_s].sort((a, b) => b - a)
  const lags = process.integrating === true ? [Number.POSITIVE_INFINITY, ...sorted] : sorted
  const shared_s = lags[order] ?? 0
  const neglected_s = sum(lags.slice(order + 1)) + sum(process.inverse_s ?? [])
  const kept = lags.slice(0, order)
  while (kept.length < order) kept.push(0)
  kept[order - 1] = (kept[order - 1] ?? 0) + shared_s / 2
  kept.sort((a, b) => b - a)
  return {
    gain: process.gain,
    lag_s: kept[0] ?? 0,
    secondLag_s: kept[1] ?? 0,
    deadTime_s: process.deadTime_s + shared_s / 2 + neglected_s + sampling_s / 2,
  }
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0)
}
