import { NEAR_FINAL_SG, provesNear, reachableUnproved } from '../finished.ts'
import type { Complaint, Rule } from '../rule.ts'
import { namedTargets_C } from '../targets.ts'

/** From this near to the final gravity a warm finish or a diacetyl rest may begin, specific gravity... */
const LATE_SG = 0.01
/** ...so much above the usual temperatures, K. Both common practice, no source. */
const REST_K = 6

export const targetOutsideComfort: Rule = {
  code: 'target-outside-comfort',
  severity: 'warning',
  title:
    'A target warmer than the yeast is known to work well at, or colder before the gravity has said that the beer is done.',
  why: 'Too warm gives harsh flavours; too cold too early puts the yeast to sleep before it has finished.',
  check: context => {
    const { plan, beer, say, reachable } = context
    const yeast = beer?.yeast
    if (!yeast || plan.side === 'hot side') return []
    const unproved = reachableUnproved(context, provesNear(context, NEAR_FINAL_SG))
    const isEarly = reachableUnproved(context, provesNear(context, LATE_SG))
    const { lowest, highest } = yeast.comfort_C
    return plan.stages.flatMap((stage, number): Complaint[] => {
      if (!reachable[number]) return []
      const targets = namedTargets_C(stage.course)
      if (targets.length === 0) return []
      const warmest = Math.max(...targets)
      const coldest = Math.min(...targets)
      const complaints: Complaint[] = []
      if (warmest > highest && (isEarly[number] || warmest > highest + REST_K))
        complaints.push({
          file: 'plan',
          place: stage.places.course,
          message: `'${stage.name}' aims at ${say.temperature(warmest)}; ${yeast.name} is known to work well up to ${say.temperature(highest)}${isEarly[number] ? '' : ', and for a short rest at the end a little more'}.`,
          cure: `Aim at ${say.temperature(highest)} or less, or begin it only within ${say.gravityDifference(LATE_SG)} of the final gravity.`,
        })
      if (coldest < lowest && unproved[number])
        complaints.push({
          file: 'plan',
          place: stage.places.course,
          message: `'${stage.name}' goes down to ${say.temperature(coldest)}, below the ${say.temperature(lowest)} of ${yeast.name}, and can begin before the gravity has shown that the beer is done.`,
          cure: 'Let a stage before it wait until the gravity is steady or near its final value, or ask.',
        })
      return complaints
    })
  },
}
