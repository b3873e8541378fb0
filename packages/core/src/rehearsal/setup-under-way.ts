import type { Beer } from '../beer/beer.ts'
import type { Program } from '../engine/program.ts'
import type { Plan } from '../plan/plan.ts'
import type { Vessel } from '../vessel/vessel.ts'
import { prepare, type Setup } from './setup.ts'

export interface RunningCase {
  readonly plan: Plan
  readonly vessel: Vessel
  readonly beer: Beer
  readonly program: Program
}

/** The setup of a batch that really began at `started_s` (seconds since 1970 UTC), whatever its beer file says. */
export function setupUnderWay({ plan, vessel, beer, program }: RunningCase, started_s: number): Setup {
  const { localOffset_s } = program
  const start = { ...beer.start, local_s: started_s + localOffset_s }
  return prepare(plan, vessel, { ...beer, start }, { seed: 1, localOffset_s })
}
