import type { EngineEvent } from '../../engine/events.ts'
import { formatTemperature } from '../../units/format.ts'
import type { SentenceContext } from './context.ts'
import { capital, subjectOf } from './names.ts'

export function sayLimit(
  event: Extract<EngineEvent, { readonly kind: 'limit broken' | 'limit kept' }>,
  context: SentenceContext,
): string {
  const { units } = context
  const beer = formatTemperature(event.beer_C, units)
  const limit = `${event.limit} limit of ${formatTemperature(event.limit_C, units, 'as written')}`
  const subject = capital(subjectOf(context))
  return event.kind === 'limit broken'
    ? `${subject} is at ${beer}, ${event.limit === 'highest' ? 'above' : 'below'} the ${limit}.`
    : `${subject} is at ${beer}, back within the ${limit}.`
}
