import type { Store } from '../store/store.ts'

/** More commands than a vessel is given while its records can not be written. */
const UNRECORDED = 1_000

/**
 * The fencing number from which the commands to a vessel count on: higher than all that its appliances have seen, whoever
 * gave it. That is so above the highest of any batch of this vessel in the records, with room for what a full disk has kept
 * out of them; and above the present second, as commands are far rarer than one a second, when the records themselves are an
 * older copy. The second alone would not do: a clock may have been ahead.
 */
export function fenceFor(
  store: Pick<Store, 'batches' | 'latestState'>,
  vessel: string,
  now_s: number,
): number {
  let highest = 0
  for (const { id, vessel: its } of store.batches()) {
    if (its === vessel) highest = Math.max(highest, fenceOf(store, id))
  }
  return Math.max(now_s, highest === 0 ? 0 : highest + UNRECORDED)
}

/** A state that can not be read any more must not keep the vessel from being controlled. */
function fenceOf(store: Pick<Store, 'latestState'>, batch: string): number {
  try {
    const fence = store.latestState(batch)?.state.fence ?? 0
    return Number.isSafeInteger(fence) ? fence : 0
  } catch {
    return 0
  }
}
