import type { PidTuning } from './pid-tuning.ts'
import type { ProcessModel } from './process-model.ts'

/**
 * Largest sensitivity Ms of the closed loop, max |1 / (1 + C(jω) G(jω))|: the reciprocal of the distance between the
 * loop's frequency response and the point where it would swing for ever. 1.4 is calm, 1.6 usual, above 2 nervous; a
 * high value means that a vessel a little different from its model may hunt.
 *
 * Meaningful only for a loop that is stable. Searches frequencies from a thousandth to a thousand times the reciprocal
 * of the fastest and slowest time in the loop, then refines around the peak.
 *
 * @param filterShare The derivative is filtered with this share of its time (0: not filtered).
 */
export function largestSensitivity(process: ProcessModel, controller: PidTuning, filterShare = 0): number {
  const times_s = [
    ...process.lags_s,
    ...(process.inverse_s ?? []),
    process.deadTime_s,
    controller.integral_s,
    controller.derivative_s,
  ].filter(time_s => time_s > 0 && Number.isFinite(time_s))
  const at = (logFrequency: number) => sensitivityAt(process, controller, filterShare, Math.exp(logFrequency))
  const from = Math.log(1e-3 / Math.max(...times_s))
  const to = Math.log(1e3 / Math.min(...times_s))
  const steps = 4000
  const width = (to - from) / steps
  let peak = from
  for (let step = 1; step <= steps; step++) {
    if (at(from + step * width) > at(peak)) peak = from + step * width
  }
  return refine(at, peak - width, peak + width)
}

/** Golden-section search for the maximum of a function with a single hill between `from` and `to`. */
function refine(height: (x: number) => number, from: number, to: number): number {
  const ratio = (Math.sqrt(5) - 1) / 2
  let [low, high] = [from, to]
  for (let turn = 0; turn < 60; turn++) {
    const left = high - ratio * (high - low)
    const right = low + ratio * (high - low)
    if (height(left) > height(right)) high = right
    else low = left
  }
  return height((low + high) / 2)
}

function sensitivityAt(
  process: ProcessModel,
  controller: PidTuning,
  filterShare: number,
  frequency_per_s: number,
): number {
  const w = frequency_per_s
  const derivative: Complex = divide(
    [0, w * controller.derivative_s],
    [1, w * controller.derivative_s * filterShare],
  )
  const integral: Complex = [0, -1 / (w * controller.integral_s)]
  let loop: Complex = [
    controller.gain * process.gain * (1 + integral[0] + derivative[0]),
    controller.gain * process.gain * (integral[1] + derivative[1]),
  ]
  for (const lag_s of process.lags_s) loop = divide(loop, [1, w * lag_s])
  for (const time_s of process.inverse_s ?? []) loop = times(loop, [1, -w * time_s])
  if (process.integrating === true) loop = divide(loop, [0, w])
  loop = times(loop, [Math.cos(w * process.deadTime_s), -Math.sin(w * process.deadTime_s)])
  return 1 / Math.hypot(1 + loop[0], loop[1])
}

type Complex = readonly [real: number, imaginary: number]

function times(a: Complex, b: Complex): Complex {
  return [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]]
}

function divide(a: Complex, b: Complex): Complex {
  const square = b[0] * b[0] + b[1] * b[1]
  return [(a[0] * b[0] + a[1] * b[1]) / square, (a[1] * b[0] - a[0] * b[1]) / square]
}
