const DAY_S = 86_400

/** Temperature of the room without faults, °C: mean and a daily swing as a cosine of local time. */
export function roomTemperature_C(
  mean_C: number,
  swing_K: number,
  warmestAt_s: number,
  local_s: number,
): number {
  return mean_C + swing_K * Math.cos((2 * Math.PI * (local_s - warmestAt_s)) / DAY_S)
}
