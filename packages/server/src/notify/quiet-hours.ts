const DAY_S = 86_400

/**
 * When a message may go out: `local_s` itself, or the end of the quiet hours in which it lies. Seconds on a local clock; the
 * hours may go over midnight. At the very moment at which they end they are over.
 */
export function endOfQuiet(
  quiet: { readonly from_s: number; readonly to_s: number } | null,
  local_s: number,
): number {
  if (quiet === null) return local_s
  const timeOfDay_s = ((local_s % DAY_S) + DAY_S) % DAY_S
  const length_s = (quiet.to_s - quiet.from_s + DAY_S) % DAY_S
  const since_s = (timeOfDay_s - quiet.from_s + DAY_S) % DAY_S
  return since_s < length_s ? local_s + length_s - since_s : local_s
}
