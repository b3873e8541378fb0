import type { Plan } from '../plan/plan.ts'
import { sayReasons } from '../plan/reasons.ts'
import type { SentenceContext } from '../report/sentences/context.ts'
import type { DisplayUnits } from '../units/display.ts'
import { silenceAllowed_s } from '../vessel/timeout.ts'
import type { Vessel } from '../vessel/vessel.ts'

/** What the sentences about a batch of this plan in this vessel need to know. */
export function sentenceContext(plan: Plan, vessel: Vessel, units: DisplayUnits): SentenceContext {
  return {
    units,
    plan,
    reasons: sayReasons(plan, units),
    silenceAllowed_s: Object.fromEntries(
      vessel.instruments.map(instrument => [instrument.name, silenceAllowed_s(instrument)]),
    ),
    handEvery_s: Object.fromEntries(
      vessel.instruments.filter(({ byHand }) => byHand).map(({ name, every_s }) => [name, every_s]),
    ),
    unitOf: Object.fromEntries(
      vessel.instruments.flatMap(({ channels }) => channels.map(({ quantity, unit }) => [quantity, unit])),
    ),
  }
}
