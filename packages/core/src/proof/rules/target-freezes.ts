import type { Beer } from '../../beer/beer.ts'
import { alcoholByVolume_percent, alcoholByWeight_percent, realExtract_P } from '../../formulas/alcohol.ts'
import { freezingPoint_C } from '../../formulas/freezing-point.ts'
import { platoFromSg } from '../../formulas/gravity.ts'
import type { Rule } from '../rule.ts'
import { namedTargets_C } from '../targets.ts'

/** The lowest target should stay this far above the freezing point, K. Common practice, no source. */
const MARGIN_K = 1

export const targetFreezes: Rule = {
  code: 'target-freezes',
  severity: 'error',
  title:
    'A target below the freezing point of the beer, from its original extract and its expected alcohol (a warning when it is less than 1 °C above it).',
  why: 'Ice on the cooled wall spoils the beer, lifts the instruments and can burst the vessel.',
  check: ({ plan, beer, say }) => {
    if (!beer) return []
    const freezes_C = freezingPointOf(beer)
    return plan.stages.flatMap(stage => {
      const targets = namedTargets_C(stage.course)
      const coldest = Math.min(...targets)
      if (targets.length === 0 || coldest >= freezes_C + MARGIN_K) return []
      const isFrozen = coldest <= freezes_C
      return [
        {
          severity: isFrozen ? ('error' as const) : ('warning' as const),
          file: 'plan' as const,
          place: stage.places.course,
          message: isFrozen
            ? `'${stage.name}' goes down to ${say.temperature(coldest)}, and the beer freezes at about ${say.temperature(freezes_C)}.`
            : `'${stage.name}' goes down to ${say.temperature(coldest)}, less than ${say.difference(MARGIN_K)} above about ${say.temperature(freezes_C)} where the beer freezes.`,
          cure: `Stay at ${say.temperature(freezes_C + MARGIN_K)} or above.`,
        },
      ]
    })
  },
}

/** Freezing point of the finished beer, °C; without yeast that of the wort. */
function freezingPointOf(beer: Beer): number {
  const original_P = platoFromSg(beer.originalGravity)
  if (!beer.yeast) return freezingPoint_C(original_P, 0)
  const final = beer.finalGravity.value
  const byWeight = alcoholByWeight_percent(original_P, realExtract_P(original_P, platoFromSg(final)))
  return freezingPoint_C(original_P, Math.max(0, alcoholByVolume_percent(byWeight, final)))
}
