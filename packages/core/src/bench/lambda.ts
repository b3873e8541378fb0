import type { PidTuning } from './pid-tuning.ts'

/**
 * Lambda tuning: the closed loop answers like a lag of `lambda_s`. Calm, but slow against loads when the lag is long.
 *
 * Source: common industrial practice after E. B. Dahlin (1968); from memory.
 */
export function tuneLambdaPi(gain: number, lag_s: number, deadTime_s: number, lambda_s: number): PidTuning {
  return { gain: lag_s / (gain * (lambda_s + deadTime_s)), integral_s: lag_s, derivative_s: 0 }
}

/** For a process that integrates, k' e^(-L s) / s; `gainPer_s` is k'. */
export function tuneLambdaPiIntegrating(gainPer_s: number, deadTime_s: number, lambda_s: number): PidTuning {
  const integral_s = 2 * lambda_s + deadTime_s
  return {
    gain: integral_s / (gainPer_s * (lambda_s + deadTime_s) ** 2),
    integral_s,
    derivative_s: 0,
  }
}
