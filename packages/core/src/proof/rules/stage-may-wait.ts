import type { Rule } from '../rule.ts'
import { outcomeWithoutFailure } from '../single-failure.ts'

export const stageMayWait: Rule = {
  code: 'stage-may-wait',
  severity: 'warning',
  title: 'A stage without a longest time, whose condition the beer may never fulfil.',
  why: 'A fermentation that gets stuck a few points too high would stay in the stage for ever, with nobody told.',
  check: ({ plan, vessel, beer, reachable, say }) =>
    plan.stages.flatMap((stage, number) => {
      if (!stage.until || !reachable[number] || stage.atMost_s !== undefined) return []
      // Without a vessel nothing is known of instruments, and everything is taken as measured.
      const { via, bounded } = outcomeWithoutFailure(stage, vessel, beer)
      if (via !== 'condition' || bounded) return []
      return [
        {
          file: 'plan' as const,
          place: stage.until.place,
          message: `'${stage.name}' has no longest time: if its condition never comes (${plan.side === 'hot side' ? 'a heater too weak' : 'a stuck fermentation, a vessel too weak'}), it waits for ever.`,
          cure: `Give it a longest time, such as \`at most: ${say.time(14 * 86_400)}\` with \`if late: ask\`.`,
        },
      ]
    }),
}
