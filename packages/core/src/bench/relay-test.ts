/**
 * What a vessel's swinging under on/off control tells about it. The limit cycle of a first-order process with dead time
 * has a closed form, so that the process can be read off it exactly, without fitting.
 *
 * Source: K. J. Åström, T. Hägglund and others on relay identification; the closed forms were derived and checked
 * against an event-driven simulation.
 */
export interface RelaySwing {
  /** What the relay adds and takes away, around the middle, in the unit of the process input. */
  readonly relay: number
  /** The relay switches when the output passes the middle by this much; 0: at the middle. */
  readonly hysteresis: number
  /** Half the distance between the highest and the lowest output. */
  readonly amplitude: number
  readonly period_s: number
}

/**
 * Lag and dead time of the process from a symmetrical swing, when its static gain is known (from the same test, when the
 * relay is not symmetrical: see {@link staticGain}). Exact for any hysteresis.
 *
 * null: no first-order process with this gain can swing like that (the amplitude is not between the hysteresis and
 * gain * relay).
 */
export function identifyFirstOrder(
  swing: RelaySwing,
  gain: number,
): { readonly lag_s: number; readonly deadTime_s: number } | null {
  const reach = gain * swing.relay
  if (!(swing.amplitude >= swing.hysteresis && swing.amplitude > 0 && swing.amplitude < reach)) return null
  const lag_s = swing.period_s / (2 * Math.log((reach + swing.amplitude) / (reach - swing.amplitude)))
  return { lag_s, deadTime_s: lag_s * Math.log((reach - swing.hysteresis) / (reach - swing.amplitude)) }
}

/** Static gain from the means of output and input over whole periods of a relay that is not symmetrical; exact. */
export function staticGain(meanOutput: number, meanInput: number): number {
  return meanOutput / meanInput
}

/**
 * Gain at which a proportional controller would make the process swing for ever, by the describing function. An
 * approximation: for first order with dead time up to a fifth too low.
 */
export function ultimateGain(swing: RelaySwing): number {
  return (4 * swing.relay) / (Math.PI * Math.sqrt(swing.amplitude ** 2 - swing.hysteresis ** 2))
}
