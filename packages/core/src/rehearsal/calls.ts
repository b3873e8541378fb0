import type { EngineEvent } from '../engine/events.ts'
import type { Setup } from './setup.ts'

const FOR_EVER_S = Number.POSITIVE_INFINITY
/** A temperature that is unknown for less than this, as after a restart, calls nobody. Common practice, no source. */
const ALARM_AFTER_S = 900

/** What makes a person come: questions that the plan does not ask in its normal course, and alarms. */
export function callsIn(setup: Setup, events: readonly EngineEvent[]): readonly EngineEvent[] {
  const beer = setup.program.quantities[setup.program.beer]?.name
  return events.filter(event => {
    switch (event.kind) {
      case 'asked': {
        const { about } = event.question
        return about !== 'go on' && about !== 'task' && about !== 'branch'
      }
      case 'no response':
      case 'limit broken':
      case 'disagree':
      case 'stuck':
        return true
      case 'in charge':
        return (
          event.quantity === beer &&
          event.instrument === null &&
          unknownFor_s(events, event) >= patience_s(setup, events, event)
        )
      default:
        return false
    }
  })
}

/** Two calls with the same key are for the same thing: the same question, or the same alarm. */
export function keyOfCall(call: EngineEvent): string {
  switch (call.kind) {
    case 'asked':
      return `${call.question.about}|${call.question.stage}|${call.question.subject}`
    case 'no response':
      return `${call.kind}|${call.appliance}`
    case 'limit broken':
      return `${call.kind}|${call.limit}`
    case 'disagree':
      return `${call.kind}|${call.quantity}`
    case 'stuck':
      return `${call.kind}|${call.instrument}`
    default:
      return call.kind
  }
}

/** After a restart nothing has failed: a thermometer is read again within its silence, and only then somebody is called. */
function patience_s(
  { program }: Setup,
  events: readonly EngineEvent[],
  lost: EngineEvent & { readonly kind: 'in charge' },
): number {
  const hasFailed = events.some(
    event => event.kind === 'instrument lost' && event.quantity === lost.quantity && event.at_s === lost.at_s,
  )
  if (hasFailed) return ALARM_AFTER_S
  const silences_s = program.channels
    .filter(({ instrument }) => instrument === lost.before)
    .map(({ silence_s }) => silence_s)
  return Math.max(ALARM_AFTER_S, ...silences_s)
}

/** How long nobody was in charge of a quantity, from the event that says so. */
function unknownFor_s(
  events: readonly EngineEvent[],
  lost: EngineEvent & { readonly kind: 'in charge' },
): number {
  const back = events.find(
    event => event.kind === 'in charge' && event.quantity === lost.quantity && event.at_s > lost.at_s,
  )
  return (back?.at_s ?? FOR_EVER_S) - lost.at_s
}
