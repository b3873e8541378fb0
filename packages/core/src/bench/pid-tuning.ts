/**
 * Settings of a PID controller in the ideal form u = gain (e + 1/integral ∫e dt + derivative de/dt). Times in s;
 * `integral_s` Infinity and `derivative_s` 0 leave those parts out. The gain has the unit of input per output of the
 * process.
 */
export interface PidTuning {
  readonly gain: number
  readonly integral_s: number
  readonly derivative_s: number
}

/** The series form gain (integral s + 1)(derivative s + 1) / (integral s), in which some rules are stated. */
export interface SeriesTuning extends PidTuning {
  readonly form: 'series'
}

/** Ideal settings with the same behaviour. Every series controller has one; the reverse is not true. */
export function idealFromSeries(series: SeriesTuning): PidTuning {
  const factor = 1 + series.derivative_s / series.integral_s
  return {
    gain: series.gain * factor,
    integral_s: series.integral_s * factor,
    derivative_s: series.derivative_s / factor,
  }
}
