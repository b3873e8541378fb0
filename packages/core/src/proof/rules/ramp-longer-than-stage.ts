import type { Rule } from '../rule.ts'
import { rampTime_s } from '../targets.ts'

export const rampLongerThanStage: Rule = {
  code: 'ramp-longer-than-stage',
  severity: 'warning',
  title: 'A ramp that takes longer than the longest time of its stage.',
  why: 'The stage is over before its temperature has been reached, and the next one begins from somewhere else.',
  check: ({ plan, begins, say }) =>
    plan.stages.flatMap((stage, number) => {
      const time_s = rampTime_s(stage.course, begins[number] ?? null)
      if (stage.atMost_s === undefined || time_s === null || time_s <= stage.atMost_s) return []
      return [
        {
          file: 'plan' as const,
          place: stage.places.course,
          message: `The ramp of '${stage.name}' takes ${say.time(time_s)}, but the stage lasts ${say.time(stage.atMost_s)} at most.`,
          cure: `Make the longest time longer than ${say.time(time_s)}, or the ramp steeper.`,
        },
      ]
    }),
}
