import type { Beer } from '../beer/beer.ts'
import type { DisplayUnits } from '../units/display.ts'
import type { Vessel } from '../vessel/vessel.ts'

/** One thing that must be true before a batch is started, and whether it is. */
export interface Check {
  /** Stable: a program may rely on it. */
  readonly code: CheckCode
  /** What should be so, in a few words. */
  readonly title: string
  readonly state: CheckState
  /** How it is now, and what would be right. */
  readonly sentence: string
}

export type CheckCode =
  | 'vessel-free'
  | 'beer-probe-heard'
  | 'instruments-heard'
  | 'temperatures-agree'
  | 'pitching-temperature'
  | 'float-in-wort'
  | 'calibrations-in-date'
  | 'appliances-reachable'
  | 'records-kept'

/**
 * not yet: it will be once somebody has done something. unknown: nobody can tell. warning: a batch could begin, but
 * something is not as it should be.
 */
export type CheckState = 'ok' | 'not yet' | 'unknown' | 'warning'

/** The latest that was heard of a channel. */
export interface LatestReading {
  readonly at_s: number
  readonly value: number
  readonly status: 'good' | 'uncertain' | 'bad'
}

/** How an appliance is reached. */
export interface ApplianceReach {
  readonly appliance: string
  /** unknown: it is only found out when it is first told what to do. */
  readonly reach: 'listens' | 'unknown' | 'does not answer'
  /** What is in the way, in a few words; '' when nothing is. */
  readonly problem: string
}

/** All that the checks of a vessel look at. */
export interface ReadinessCase {
  readonly vessel: Vessel
  /** null: nobody has said yet which beer it is to be. */
  readonly beer: Beer | null
  readonly now_s: number
  readonly localOffset_s: number
  /** By channel of the vessel (vessel/channels.ts); null: never heard. */
  readonly latest: readonly (LatestReading | null)[]
  /** Good readings of the float (float-bounds.ts says which), oldest first, as far back as it must have been steady. */
  readonly gravities: readonly (readonly [at_s: number, gravity: number])[]
  /** The batch that is in the vessel; null: it is free. */
  readonly batch: string | null
  readonly appliances: readonly ApplianceReach[]
  /** What keeps readings and decisions from being stored; null: nothing that is known. */
  readonly storageProblem: StorageProblem | null
  readonly units: DisplayUnits
}

/** What keeps the records from being written, or soon will. */
export type StorageProblem =
  | { readonly kind: 'failing' }
  | { readonly kind: 'little room'; readonly free_MB: number }
  | { readonly kind: 'disk not seen'; readonly folder: string }
