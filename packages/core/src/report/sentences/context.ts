import type { Plan } from '../../plan/plan.ts'
import type { StageReasons } from '../../plan/reasons.ts'
import type { DisplayUnits } from '../../units/display.ts'

/** What a sentence needs to know besides the event. All of it is data, so that a report can be made from a record. */
export interface SentenceContext {
  readonly units: DisplayUnits
  readonly plan: Pick<Plan, 'name' | 'side'>
  /** By stage: its condition and longest time in words (plan/reasons.ts). Left out: the sentence names no reason of the plan. */
  readonly reasons?: Readonly<Record<string, StageReasons>>
  /** By instrument: silence after which it is no longer believed, s (vessel/timeout.ts). */
  readonly silenceAllowed_s?: Readonly<Record<string, number>>
  /** By instrument that is read by hand: how often it should be, s. Others are not in it. */
  readonly handEvery_s?: Readonly<Record<string, number>>
  /** By quantity: unit of the vessel's channel, for quantities that only the vessel knows. */
  readonly unitOf?: Readonly<Record<string, string>>
}
