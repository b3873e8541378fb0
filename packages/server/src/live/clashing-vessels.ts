import type { BatchRecord } from '../store/store.ts'

/** Two vessels lay claim to one thing, or one vessel does so twice (then its name stands twice). */
export interface VesselClash {
  readonly vessels: readonly [string, string]
  /** What it is, as a sentence. */
  readonly said: string
}

/**
 * Records of an older version, or a folder that somebody has changed by hand, may hold vessels that are refused today: two
 * whose appliances are one. Of these batches, by their ids, none may be commanded, and why. Where only one of two
 * vessels has a batch, that one keeps what both claim; where both have, nobody can tell whose the appliance is, so neither
 * gets it and the beer has no heat rather than another's.
 */
export function notToCommand(
  open: readonly BatchRecord[],
  clashes: readonly VesselClash[],
): ReadonlyMap<string, string> {
  const reasons = new Map<string, string>()
  for (const { vessels, said } of clashes) {
    const of = vessels.map(vessel => open.filter(batch => batch.vessel === vessel))
    if (of.some(batches => batches.length === 0)) continue
    for (const { id } of of.flat()) if (!reasons.has(id)) reasons.set(id, said)
  }
  return reasons
}
