import type { Rule } from '../rule.ts'

export const unreachableStage: Rule = {
  code: 'unreachable-stage',
  severity: 'error',
  title: 'A stage to which no way leads.',
  why: 'Whatever the stage was meant to do, a rest or a chill, would never happen.',
  check: ({ plan, reachable }) =>
    plan.stages.flatMap((stage, number) =>
      reachable[number]
        ? []
        : [
            {
              file: 'plan' as const,
              place: stage.places.name,
              message: `Nothing leads to the stage '${stage.name}', so that it never runs.`,
              cure: `Let the stage before it, a branch or a longest time go to '${stage.name}', or take it out.`,
            },
          ],
    ),
}
