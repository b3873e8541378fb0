import { quantitiesOf } from '../../plan/quantities-of.ts'
import { atomsOf, conditionsOf } from '../conditions/walk.ts'
import { instrumentsFor } from '../context.ts'
import type { Rule } from '../rule.ts'
import { outcomeWithoutFailure } from '../single-failure.ts'

export const quantityNotMeasured: Rule = {
  code: 'quantity-not-measured',
  severity: 'warning',
  title:
    'A condition on a quantity that no instrument of the vessel measures: an error where the stage would wait for ever because of it.',
  why: 'Such a condition stays unknown, and what is unknown never moves a batch on.',
  check: ({ plan, vessel, beer, say }) => {
    if (!vessel) return []
    return plan.stages.flatMap(stage => {
      const said = new Set<string>()
      return conditionsOf(stage).flatMap(condition =>
        [...atomsOf(condition)].flatMap(atom =>
          quantitiesOf(atom).flatMap(quantity => {
            // The forecast is worked out, not measured: forecast-unknown speaks.
            if (quantity === 'forecast final gravity' || said.has(quantity)) return []
            if (instrumentsFor(vessel, quantity).length > 0) return []
            said.add(quantity)
            const waits = outcomeWithoutFailure(stage, vessel, beer).outcome === 'waits for ever'
            return [
              {
                severity: waits ? ('error' as const) : ('warning' as const),
                file: 'plan' as const,
                place: atom.place,
                message: `'${stage.name}' asks for the ${quantity}, which no instrument of '${vessel.name}' measures${waits ? ': the stage would wait for ever' : ''}.`,
                cure: `Add an instrument that measures the ${quantity} (one read by hand will do), or give the stage a longest time such as \`at most: ${say.time(14 * 86_400)}\`.`,
              },
            ]
          }),
        ),
      )
    })
  },
}
