import type { PidTuning } from './pid-tuning.ts'

/**
 * The AMIGO step-response rules: slower than SIMC and more robust (largest sensitivity near 1.4), for a process of
 * first order with dead time that is not quite known.
 *
 * Source: K. J. Åström and T. Hägglund, "Advanced PID Control" (ISA, 2006), chapter 7. The gain of the PI rule was
 * confirmed in print; the other constants are from memory.
 */
export function tuneAmigoPi(gain: number, lag_s: number, deadTime_s: number): PidTuning {
  const both_s = lag_s + deadTime_s
  return {
    gain: 0.15 / gain + ((0.35 - (deadTime_s * lag_s) / both_s ** 2) * lag_s) / (gain * deadTime_s),
    integral_s:
      0.35 * deadTime_s +
      (13 * deadTime_s * lag_s ** 2) / (lag_s ** 2 + 12 * deadTime_s * lag_s + 7 * deadTime_s ** 2),
    derivative_s: 0,
  }
}

export function tuneAmigoPid(gain: number, lag_s: number, deadTime_s: number): PidTuning {
  return {
    gain: (0.2 + (0.45 * lag_s) / deadTime_s) / gain,
    integral_s: (deadTime_s * (0.4 * deadTime_s + 0.8 * lag_s)) / (deadTime_s + 0.1 * lag_s),
    derivative_s: (0.5 * deadTime_s * lag_s) / (0.3 * deadTime_s + lag_s),
  }
}

/** For a process that integrates, k' e^(-L s) / s; `gainPer_s` is k'. */
export function tuneAmigoPiIntegrating(gainPer_s: number, deadTime_s: number): PidTuning {
  return { gain: 0.35 / (gainPer_s * deadTime_s), integral_s: 13.4 * deadTime_s, derivative_s: 0 }
}

export function tuneAmigoPidIntegrating(gainPer_s: number, deadTime_s: number): PidTuning {
  return {
    gain: 0.45 / (gainPer_s * deadTime_s),
    integral_s: 8 * deadTime_s,
    derivative_s: 0.5 * deadTime_s,
  }
}
