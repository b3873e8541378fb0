import type { Rule } from '../rule.ts'
import { singleFailureProof } from '../single-failure.ts'

export const heldByNothing: Rule = {
  code: 'held-by-nothing',
  severity: 'warning',
  title:
    "A stage that has no end but the brewer's answer to an alarm once the only thermometer in the beer has failed.",
  why: 'Without the temperature of the beer everything is switched off; if the alarm is missed, the beer drifts to the temperature of the room.',
  check: ({ plan, vessel, beer, reachable, say }) => {
    // A thermostat keeps its last target by a thermometer of its own.
    if (!vessel || vessel.thermostat) return []
    return singleFailureProof(plan, vessel, beer).flatMap(({ instrument, via, within_s }, index) => {
      const number = Math.floor(index / vessel.instruments.length)
      const stage = plan.stages[number]!
      if (via !== 'beer temperature lost' || !reachable[number]) return []
      return [
        {
          file: 'plan' as const,
          place: stage.until?.place ?? stage.places.name,
          message: `If the ${instrument} fails in '${stage.name}', the beer is held by nothing: there is an alarm within ${say.time(within_s ?? 0)}, but the stage itself neither ends nor asks.`,
          cure: 'Give the stage a longest time, such as `at most: 4 d` and `if late: ask`, or the vessel a second thermometer.',
        },
      ]
    })
  },
}
