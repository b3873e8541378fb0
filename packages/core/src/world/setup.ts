import type { Beer } from '../beer/beer.ts'
import type { Vessel } from '../vessel/vessel.ts'
import type { Fault } from './faults/fault.ts'
import type { FermentationState } from './fermentation/core.ts'
import type { Plant } from './plant.ts'

export interface WorldSetup {
  readonly vessel: Vessel
  readonly beer: Beer
  /** What is uncertain about both, decided: nominalPlant or drawPlant. */
  readonly plant: Plant
  readonly faults: readonly Fault[]
  /** Of the noise, the outages, the times of hand readings and the lost commands. */
  readonly seed: number
  /** Pitching (hot side: the start), whole seconds since 1970-01-01T00:00 UTC. */
  readonly start_s: number
  /** A multiple of 60; 300 when left out. Its error is measured in kinetics-step.test.ts. */
  readonly kineticsStep_s?: number
  /** A batch that is already under way at `start_s`. Left out: it is pitched then. */
  readonly underWay?: UnderWay
}

/** A batch in the middle. The beer is at the plant's `startsAt_C`, and what is not said here is as warm as the air. */
export interface UnderWay {
  /** null: nothing ferments. */
  readonly fermentation: FermentationState | null
  readonly wall_C: number
  /** Of the cabinet. */
  readonly air_C: number
}

export const USUAL_KINETICS_STEP_S = 300

/** Streams of hash noise; each takes as many numbers as there are channels, instruments or appliances. */
export const STREAM = {
  noise: 1000,
  foam: 2000,
  outages: 3000,
  hand: 4000,
  lostCommands: 5000,
} as const

/** Local time minus UTC, s; the clock is not put forward or back during a run. */
export function localOffset_s(setup: WorldSetup): number {
  return setup.beer.start.local_s - setup.start_s
}
