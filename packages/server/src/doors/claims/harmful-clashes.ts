import type { VesselRecord } from '../../store/store.ts'
import { sayClash } from './check-vessel.ts'
import { allClashes, type Clash } from './clashes.ts'

/** The clashes on account of which no batch may be commanded, each with a sentence. */
export function harmfulClashes(
  vessels: readonly VesselRecord[],
): readonly { readonly vessels: readonly [string, string]; readonly said: string }[] {
  return allClashes(vessels)
    .filter(wouldAct)
    .map(clash => ({ vessels: clash.vessels, said: sayClash(clash) }))
}

/**
 * Two batches would act on one appliance, or one of them on the readings of the other's beer; or heater and cooler are one
 * switch. Within a vessel, an instrument that is there twice is only half as good as it looks.
 */
function wouldAct({ vessels: [one, other], claims: [, { kind }], isHarmful }: Clash): boolean {
  return isHarmful && (one !== other || kind === 'appliance')
}
