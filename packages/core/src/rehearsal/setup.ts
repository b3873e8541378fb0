import type { Beer } from '../beer/beer.ts'
import { compile } from '../engine/compile.ts'
import type { Program } from '../engine/program.ts'
import type { Plan } from '../plan/plan.ts'
import type { Vessel } from '../vessel/vessel.ts'

/** Everything that a run needs, as plain data: it can be sent to a worker. */
export interface Setup {
  readonly plan: Plan
  readonly vessel: Vessel
  readonly beer: Beer
  readonly program: Program
  readonly seed: number
  /** Pitching (hot side: the start), seconds since 1970-01-01T00:00 UTC. */
  readonly start_s: number
  /** A run is cut off after this. */
  readonly horizon_s: number
  /** Step of the recorded traces. */
  readonly sample_s: number
}

const HOUR_S = 3600
const DAY_S = 86_400
const USUAL_STAGE_S = 14 * DAY_S
const LEAST_HORIZON_S = { fermentation: 21 * DAY_S, 'hot side': 12 * HOUR_S } as const
const MOST_HORIZON_S = { fermentation: 70 * DAY_S, 'hot side': 36 * HOUR_S } as const
const SAMPLE_S = { fermentation: 1800, 'hot side': 60 } as const

export interface SetupOptions {
  readonly seed: number
  /** Longest simulated time; left out: derived from the plan's longest times. */
  readonly horizon_s?: number
  /** What the vessel's wall clock is ahead of UTC. */
  readonly localOffset_s?: number
}

export function prepare(plan: Plan, vessel: Vessel, beer: Beer, options: SetupOptions): Setup {
  const localOffset_s = options.localOffset_s ?? 0
  const sample_s = SAMPLE_S[plan.side]
  const horizon_s = options.horizon_s ?? usualHorizon_s(plan)
  return {
    plan,
    vessel,
    beer,
    program: compile(plan, vessel, beer, localOffset_s),
    seed: options.seed,
    start_s: beer.start.local_s - localOffset_s,
    horizon_s: Math.ceil(horizon_s / sample_s) * sample_s,
    sample_s,
  }
}

/** Long enough for every stage to reach its longest time once; what lasts longer than that is stuck. */
function usualHorizon_s(plan: Plan): number {
  const stages_s = plan.stages.reduce((sum, stage) => sum + (stage.atMost_s ?? USUAL_STAGE_S), 0)
  const { [plan.side]: least_s } = LEAST_HORIZON_S
  const { [plan.side]: most_s } = MOST_HORIZON_S
  return Math.min(most_s, Math.max(least_s, stages_s))
}
