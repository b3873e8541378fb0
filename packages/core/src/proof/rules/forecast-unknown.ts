import { quantitiesOf } from '../../plan/quantities-of.ts'
import { atomsOf, conditionsOf } from '../conditions/walk.ts'
import { instrumentsFor } from '../context.ts'
import type { Complaint, Rule } from '../rule.ts'

export const forecastUnknown: Rule = {
  code: 'forecast-unknown',
  severity: 'note',
  title:
    'A condition on the forecast final gravity, which stays unknown until the readings allow a forecast.',
  why: 'What is unknown never moves a batch on, so that such a stage needs something to do meanwhile.',
  check: ({ plan, vessel }) =>
    plan.stages.flatMap((stage): Complaint[] => {
      if (vessel && instrumentsFor(vessel, 'forecast final gravity').length > 0) return []
      for (const condition of conditionsOf(stage))
        for (const atom of atomsOf(condition))
          if (quantitiesOf(atom).includes('forecast final gravity'))
            return [
              {
                // Only an answer to "unknown", or a longest time, gets the stage on without a forecast.
                severity: stage.ifUnknown || stage.atMost_s !== undefined ? 'note' : 'warning',
                file: 'plan',
                place: atom.place,
                message: `'${stage.name}' counts from the forecast final gravity, which is unknown as long as nothing makes a forecast.`,
                cure: 'Say what to do while it is unknown, such as `if unknown: { wait: 12 h, then: ask }`, or count from the expected final gravity (`above final`).',
              },
            ]
      return []
    }),
}
