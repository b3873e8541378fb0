import type { Rule } from '../rule.ts'

export const conditionAfterLongestTime: Rule = {
  code: 'condition-after-longest-time',
  severity: 'warning',
  title: 'A condition that can only be true after the longest time of its stage is over.',
  why: 'The stage would always run into its longest time, however well the beer does.',
  check: ({ plan, ways, reachable, say }) =>
    plan.stages.flatMap((stage, number) => {
      const atMost_s = stage.atMost_s
      if (atMost_s === undefined || !reachable[number]) return []
      return ways[number]!.filter(way => way.by !== 'longest time' && way.least_s > atMost_s).map(way => ({
        file: 'plan' as const,
        place: way.condition?.place ?? way.place,
        message: `In '${stage.name}' this can come after ${say.time(way.least_s)} at the soonest, but the longest time is ${say.time(atMost_s)}.`,
        cure: `Make the longest time longer than ${say.time(way.least_s)}, or ask for less.`,
      }))
    }),
}
