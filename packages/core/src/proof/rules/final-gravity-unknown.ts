import { atomsOf, conditionsOf } from '../conditions/walk.ts'
import type { Rule } from '../rule.ts'

export const finalGravityUnknown: Rule = {
  code: 'final-gravity-unknown',
  severity: 'note',
  title:
    'A condition that counts from the expected final gravity, looked at without a beer that says what that is.',
  why: 'The same plan serves many beers; only together with one of them can its gravities be judged.',
  check: ({ plan, beer }) => {
    if (beer) return []
    for (const stage of plan.stages)
      for (const condition of conditionsOf(stage))
        for (const atom of atomsOf(condition))
          if (atom.kind === 'compare' && atom.against.kind === 'above final')
            return [
              {
                file: 'plan',
                place: atom.place,
                message: `'${stage.name}' counts from the expected final gravity, and no beer says what that is.`,
                cure: 'Check the plan together with its beer (and its vessel).',
              },
            ]
    return []
  },
}
