import type { Complaint, Rule } from '../rule.ts'
import { namedTargets_C } from '../targets.ts'

export const targetOutsideLimits: Rule = {
  code: 'target-outside-limits',
  severity: 'error',
  title: "A target outside the plan's own limits.",
  why: 'The limits always win, so that the target is never reached and the stage waits, or an alarm comes for what the plan itself asked for.',
  check: ({ plan, say }) =>
    plan.stages.flatMap((stage): Complaint[] => {
      const { lowest_C, highest_C } = plan.limits
      const targets = namedTargets_C(stage.course)
      const warmest = targets.length > 0 ? Math.max(...targets) : null
      const coldest = targets.length > 0 ? Math.min(...targets) : null
      const complaints: Complaint[] = []
      if (highest_C !== undefined && warmest !== null && warmest > highest_C)
        complaints.push({
          file: 'plan',
          place: stage.places.course,
          message: `'${stage.name}' aims at ${say.temperature(warmest)}, above the highest limit of ${say.temperature(highest_C)}.`,
          cure: `Aim at ${say.temperature(highest_C)} or less, or set the limit above ${say.temperature(warmest)}.`,
        })
      if (lowest_C !== undefined && coldest !== null && coldest < lowest_C)
        complaints.push({
          file: 'plan',
          place: stage.places.course,
          message: `'${stage.name}' aims at ${say.temperature(coldest)}, below the lowest limit of ${say.temperature(lowest_C)}.`,
          cure: `Aim at ${say.temperature(lowest_C)} or more, or set the limit below ${say.temperature(coldest)}.`,
        })
      return complaints
    }),
}
