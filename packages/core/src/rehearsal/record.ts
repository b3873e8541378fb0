import type { Answer, EngineEvent } from '../engine/events.ts'
import type { RiskCode } from './result.ts'

/** What is kept of one run: enough for the reduction, small enough for a thousand of them. Times in s from the start. */
export interface RunRecord {
  /** 0: the nominal run. */
  readonly run: number
  /** When the plan was complete; null: it was not when the run was cut off. */
  readonly ready_s: number | null
  readonly ended_s: number
  readonly stages: readonly StageRecord[]
  readonly harms: readonly Harm[]
  readonly finalGravity: number
  readonly highest_C: number
  readonly lowest_C: number
  /** One value per sample; NaN: no target. */
  readonly trace: Trace
  /** Every decision, for runs that are shown and for drills; null when only the sums are wanted. */
  readonly events: readonly EngineEvent[] | null
}

export interface Trace {
  readonly beer_C: Float32Array
  readonly gravity: Float32Array
  readonly target_C: Float32Array
  /** Share of the time since the last sample in which it was on. */
  readonly heater: Float32Array
  readonly cooler: Float32Array
}

export interface StageRecord {
  /** Number of the stage in the plan. */
  readonly stage: number
  readonly began_s: number
  /** null: still in it. */
  readonly ended_s: number | null
  readonly how: 'condition' | 'branch' | 'late' | 'fallback' | 'answer' | 'never'
  readonly late: boolean
  readonly asked: boolean
}

/** One kind of harm that a run suffers. */
export interface Harm {
  readonly code: RiskCode
  /** How bad, in the unit of the kind (risks.ts). */
  readonly extent: number
  readonly stage: number
  readonly at_s: number
}

/** A run that is carried on by somebody else than the usual brewer, or that is shown. */
export interface RunOptions {
  readonly keepEvents?: boolean
  /** For drills: the brewer's answer, when not the usual one. */
  readonly answer?: Answer
}
