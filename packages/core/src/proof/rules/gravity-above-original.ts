import { atomsOf, conditionsOf } from '../conditions/walk.ts'
import type { Rule } from '../rule.ts'

export const gravityAboveOriginal: Rule = {
  code: 'gravity-above-original',
  severity: 'warning',
  title: 'A condition that the gravity be at most what the beer starts with: it is true from the beginning.',
  why: 'The batch would move on at once, before anything has fermented.',
  check: ({ plan, beer, say }) => {
    if (!beer?.yeast) return []
    const original = beer.originalGravity
    return plan.stages.flatMap(stage =>
      conditionsOf(stage).flatMap(condition =>
        [...atomsOf(condition)].flatMap(atom => {
          if (atom.kind !== 'compare' || atom.quantity !== 'gravity' || atom.relation !== 'at most') return []
          if (atom.against.kind === 'above forecast') return []
          const mark =
            atom.against.kind === 'value'
              ? atom.against.value
              : beer.finalGravity.value + atom.against.difference
          if (mark < original) return []
          return [
            {
              file: 'plan' as const,
              place: atom.place,
              message: `In '${stage.name}' the gravity may be ${say.gravity(mark)}, but the beer starts at ${say.gravity(original)}: this is true from the beginning.`,
              cure: `Ask for a gravity between ${say.gravity(beer.finalGravity.value)} and ${say.gravity(original)}.`,
            },
          ]
        }),
      ),
    )
  },
}
