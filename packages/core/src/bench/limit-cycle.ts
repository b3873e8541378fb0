/**
 * How an on/off controlled temperature swings, in closed form. The vessel tends to one temperature while the appliance
 * is on and to another while it is off; `startsAt_C` and `stopsAt_C` are where the controller switches. A heater starts
 * below and stops above, a cooler the other way round; the same formulas hold for both.
 *
 * Source: derived from the solution of the linear model, and checked against an event-driven simulation.
 */
export interface SwitchedProcess {
  /** Where the temperature would end with the appliance always on, and always off. */
  readonly whenOn_C: number
  readonly whenOff_C: number
  readonly lag_s: number
  readonly deadTime_s: number
  readonly startsAt_C: number
  readonly stopsAt_C: number
}

export interface LimitCycle {
  readonly on_s: number
  readonly off_s: number
  readonly period_s: number
  /** Share of the time for which the appliance is on. */
  readonly duty: number
  /** The extremes after switching off and after switching on. For a heater: highest and lowest. */
  readonly afterOff_C: number
  readonly afterOn_C: number
  /** Exact mean over a period; it is not the middle between the switching points. */
  readonly mean_C: number
}

/** First order with dead time. null: the appliance never reaches a switching point, so that there is no cycle. */
export function limitCycle(process: SwitchedProcess): LimitCycle | null {
  if (!swings(process)) return null
  const { whenOn_C, whenOff_C, lag_s, deadTime_s, startsAt_C, stopsAt_C } = process
  const fade = Math.exp(-deadTime_s / lag_s)
  const afterOff_C = whenOn_C - (whenOn_C - stopsAt_C) * fade
  const afterOn_C = whenOff_C + (startsAt_C - whenOff_C) * fade
  return describe(process, afterOff_C, afterOn_C)
}

/**
 * The same without dead time, but with a least time on and off (a compressor's). A phase lasts as long as it naturally
 * would, or its least time if that is longer.
 */
export function limitCycleWithLeastTimes(
  process: Omit<SwitchedProcess, 'deadTime_s'>,
  leastOn_s: number,
  leastOff_s: number,
): LimitCycle | null {
  if (!swings({ ...process, deadTime_s: 0 })) return null
  const { whenOn_C, whenOff_C, lag_s, startsAt_C, stopsAt_C } = process
  const onFade = Math.exp(-leastOn_s / lag_s)
  const offFade = Math.exp(-leastOff_s / lag_s)
  const naturalOff_s = lag_s * Math.log((whenOff_C - stopsAt_C) / (whenOff_C - startsAt_C))

  // On until the stopping point is reached; off from there, as long as it must.
  const startedAt_C = naturalOff_s >= leastOff_s ? startsAt_C : whenOff_C + (stopsAt_C - whenOff_C) * offFade
  const on_s = lag_s * Math.log((whenOn_C - startedAt_C) / (whenOn_C - stopsAt_C))
  if (on_s >= leastOn_s) return describe(process, stopsAt_C, startedAt_C)

  // On for its least time; off until the starting point is reached.
  const stoppedAt_C = whenOn_C + (startsAt_C - whenOn_C) * onFade
  const off_s = lag_s * Math.log((whenOff_C - stoppedAt_C) / (whenOff_C - startsAt_C))
  if (off_s >= leastOff_s) return describe(process, stoppedAt_C, startsAt_C)

  // Both phases are forced.
  const afterOn_C = (whenOff_C * (1 - offFade) + whenOn_C * (1 - onFade) * offFade) / (1 - onFade * offFade)
  return describe(process, whenOn_C + (afterOn_C - whenOn_C) * onFade, afterOn_C)
}

/**
 * Approximation for a vessel that is far from where it tends to: constant slopes. Exact for a process that integrates.
 * Slopes in K/s, both positive: how fast it moves while the appliance is on, and back while it is off.
 */
export function limitCycleOfSlopes(
  onSlope_K_per_s: number,
  offSlope_K_per_s: number,
  deadTime_s: number,
  hysteresis_K: number,
): { readonly overshootAfterOff_K: number; readonly overshootAfterOn_K: number; readonly period_s: number } {
  const range_K = hysteresis_K + (onSlope_K_per_s + offSlope_K_per_s) * deadTime_s
  return {
    overshootAfterOff_K: onSlope_K_per_s * deadTime_s,
    overshootAfterOn_K: offSlope_K_per_s * deadTime_s,
    period_s: range_K * (1 / onSlope_K_per_s + 1 / offSlope_K_per_s),
  }
}

/** The switching points lie between where it tends to, in the right order. */
export function swings(process: SwitchedProcess): boolean {
  const direction = Math.sign(process.whenOn_C - process.whenOff_C)
  const beyond = direction * (process.whenOn_C - process.stopsAt_C) > 0
  const before = direction * (process.startsAt_C - process.whenOff_C) > 0
  const ordered = direction * (process.stopsAt_C - process.startsAt_C) >= 0
  return direction !== 0 && beyond && before && ordered && process.lag_s > 0
}

function describe(
  process: Omit<SwitchedProcess, 'deadTime_s'>,
  afterOff_C: number,
  afterOn_C: number,
): LimitCycle {
  const { whenOn_C, whenOff_C, lag_s } = process
  const on_s = lag_s * Math.log((whenOn_C - afterOn_C) / (whenOn_C - afterOff_C))
  const off_s = lag_s * Math.log((afterOff_C - whenOff_C) / (afterOn_C - whenOff_C))
  const period_s = on_s + off_s
  const duty = on_s / period_s
  const mean_C = whenOff_C + duty * (whenOn_C - whenOff_C)
  return { on_s, off_s, period_s, duty, afterOff_C, afterOn_C, mean_C }
}
