import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { VesselRecord } from '../../store/store.ts'
import { type DoorSettings, readDoorSettings, USUAL_DOORS } from '../door-settings.ts'
import { type Claim, claimsOf } from './claim.ts'

/** The same thing, claimed twice. */
export interface Clash {
  /** The vessel of each claim; the same one twice: it clashes with itself. */
  readonly vessels: readonly [string, string]
  readonly claims: readonly [Claim, Claim]
  /**
   * Whether two batches, or two appliances of one, would act on each other. Otherwise it is worth a warning: two vessels in
   * one cabinet may well share the thermometer of its air.
   */
  readonly isHarmful: boolean
}

/** A vessel with its claims. */
export interface Claimant {
  readonly name: string
  readonly claims: readonly Claim[]
}

export function claimant(name: string, vessel: Vessel | null, doors: DoorSettings | null): Claimant {
  return { name, claims: claimsOf(name, vessel, doors ?? USUAL_DOORS) }
}

export function claimantOf({ name, text, doors }: VesselRecord): Claimant {
  const { vessel } = readVessel(text, name)
  return claimant(name, vessel, readDoorSettings(doors, name).settings)
}

/** Within one vessel. */
export function clashesWithin({ name, claims }: Claimant): readonly Clash[] {
  return claims.flatMap((second, at) =>
    claims
      .slice(0, at)
      .filter(first => isSame(first, second))
      .map((first): Clash => ({ vessels: [name, name], claims: [first, second], isHarmful: true })),
  )
}

/** Between two vessels. What a name of an instrument stands for is told apart by the name of the vessel. */
export function clashesBetween(one: Claimant, other: Claimant): readonly Clash[] {
  return one.claims
    .filter(({ kind }) => kind !== 'instrument name')
    .flatMap(first =>
      other.claims
        .filter(second => second.kind === first.kind && isSame(first, second))
        .map(
          (second): Clash => ({
            vessels: [one.name, other.name],
            claims: [first, second],
            isHarmful: !isSharedSurrounding(first, second),
          }),
        ),
    )
}

/** All clashes of these vessels, with themselves and with each other. */
export function allClashes(records: readonly VesselRecord[]): readonly Clash[] {
  const claimants = records.map(claimantOf)
  return claimants.flatMap((one, at) => [
    ...clashesWithin(one),
    ...claimants.slice(0, at).flatMap(before => clashesBetween(before, one)),
  ])
}

function isSame(first: Claim, second: Claim): boolean {
  return first.keys.some(key => second.keys.includes(key))
}

const SURROUNDINGS: readonly (string | null)[] = ['air', 'humidity']

function isSharedSurrounding(first: Claim, second: Claim): boolean {
  return (
    first.kind === 'instrument' && first.quantity === second.quantity && SURROUNDINGS.includes(first.quantity)
  )
}
