import type { Condition, QuantityName } from './plan.ts'

/**
 * Every measured quantity that a condition rests on, each once, in the order of the text. Empty for times, the calendar
 * and answers.
 */
export function quantitiesOf(condition: Condition): readonly QuantityName[] {
  return [...new Set(listQuantities(condition))]
}

function listQuantities(condition: Condition): readonly QuantityName[] {
  switch (condition.kind) {
    case 'all':
    case 'any':
      return condition.of.flatMap(listQuantities)
    case 'not':
      return listQuantities(condition.of)
    case 'compare':
      return condition.against.kind === 'above forecast'
        ? [condition.quantity, 'forecast final gravity']
        : [condition.quantity]
    case 'steady':
      return [condition.quantity]
    case 'attenuation':
    case 'fall':
      return ['gravity']
    case 'near target':
      return ['beer']
    case 'elapsed':
      return condition.since === 'target' ? ['beer'] : []
    case 'calendar':
    case 'time of day':
    case 'done':
      return []
  }
}
