/** Settings of a PID controller in ideal form, u = gain (e + 1/integral ∫e dt − derivative dy/dt). */
export interface PidSettings {
  /** Output per K of error. */
  readonly gain_per_K: number
  /** 0: no integral part. */
  readonly integral_s: number
  /** Acts on the measurement, so that a step of the target gives no kick. */
  readonly derivative_s: number
}

export interface PidMemory {
  /** The integral part, in units of the output. */
  readonly integral: number
  readonly lastMeasured_C: number | null
  readonly output: number
}

/**
 * One sample of a PID controller with the output limited to `least`…`most`.
 *
 * Anti-windup by clamping: the integral part does not grow in the direction in which the output is already at its limit,
 * and is never outside the limits itself. A kettle is saturated for most of a ramp, so without this it would overshoot.
 *
 * @param elapsed_s time since the last sample
 */
export function pidSample(
  settings: PidSettings,
  memory: PidMemory,
  target_C: number,
  measured_C: number,
  elapsed_s: number,
  least: number,
  most: number,
): PidMemory {
  const error_K = target_C - measured_C
  const proportional = settings.gain_per_K * error_K
  const slope_K_per_s =
    memory.lastMeasured_C === null || elapsed_s <= 0 ? 0 : (measured_C - memory.lastMeasured_C) / elapsed_s
  const derivative = -settings.gain_per_K * settings.derivative_s * slope_K_per_s
  const growth =
    settings.integral_s > 0 ? (settings.gain_per_K * error_K * elapsed_s) / settings.integral_s : 0
  const grown = memory.integral + growth
  const wished = proportional + derivative + grown
  const isWindingUp = (wished > most && growth > 0) || (wished < least && growth < 0)
  const integral = clamp(isWindingUp ? memory.integral : grown, least, most)
  return {
    integral: settings.integral_s > 0 ? integral : 0,
    lastMeasured_C: measured_C,
    output: clamp(proportional + derivative + integral, least, most),
  }
}

/**
 * Memory with which new settings give the same output as the old ones at this moment, so that changing a controller in
 * the middle of a batch makes no bump.
 */
export function bumpless(
  settings: PidSettings,
  memory: PidMemory,
  error_K: number,
  least: number,
  most: number,
): PidMemory {
  return { ...memory, integral: clamp(memory.output - settings.gain_per_K * error_K, least, most) }
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(Math.max(value, least), most)
}
