import type { Assumption } from './from-now.ts'
import type { Quantiles, RehearsalResult, Risk } from './result.ts'

/** What a rehearsal from now answers: plain data. Hours count from now. */
export interface FromNowResult {
  readonly now_s: number
  /** Whoever shows the forecast says this with it. null: nothing is assumed. */
  readonly assumes: Assumption | null
  readonly seed: number
  /** Number of drawn runs; the nominal run comes in addition. */
  readonly runs: number
  /** What is still to come, in the order of time. */
  readonly transitions: readonly ExpectedTransition[]
  /** Hours until the plan is complete; p50 null: more than half of the runs never were. */
  readonly ready: RehearsalResult['ready']
  readonly final: RehearsalResult['final']
  /** Of what is still to come; the worst runs can be shown again. */
  readonly risks: readonly Risk[]
  /** Over time, hours from now. */
  readonly overTime: RehearsalResult['overTime']
  /** Beer temperature against gravity, from the present gravity down. */
  readonly path: RehearsalResult['path']
}

export interface ExpectedTransition {
  readonly from: string
  /** null: the plan is complete. */
  readonly to: string | null
  /** 1: the first time in a run that it goes from the one to the other; a plan may come by twice. */
  readonly occurrence: number
  /** Hours from now, over the runs that make it. */
  readonly hours: Quantiles
  /** Share of the runs that make it, 0 to 1. */
  readonly share: number
  /** null: the nominal run does not make it. */
  readonly nominal_h: number | null
}
