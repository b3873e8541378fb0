import type { EngineEvent, SetReason } from '../../engine/events.ts'
import { formatTemperature } from '../../units/format.ts'
import { sayBesideTarget } from './appliance.ts'
import type { SentenceContext } from './context.ts'
import { subjectOf } from './names.ts'

type ThermostatSet = Extract<EngineEvent, { readonly kind: 'thermostat set' }>

/** "Thermostat set to 19.0 °C because that is the target of the plan (the beer is at 18.4 °C, 0.6 °C below its target)." */
export function sayThermostatSet(event: ThermostatSet, context: SentenceContext): string {
  const { set_C, why } = event
  const isLeft = why === 'beer temperature unknown'
  const opening =
    set_C === null
      ? `Thermostat ${isLeft ? 'left off' : 'off'}`
      : `Thermostat ${isLeft ? 'left at' : 'set to'} ${formatTemperature(set_C, context.units)}`
  const state = why === 'batch not running' ? null : sayBesideTarget(event.target_C, event.beer_C, context)
  return `${opening} because ${sayReason(why, event, context)}${state === null ? '' : ` (${state})`}.`
}

function sayReason(why: SetReason, { set_C }: ThermostatSet, context: SentenceContext): string {
  const subject = subjectOf(context)
  switch (why) {
    case 'target':
      return 'that is the target of the plan'
    case 'lowest limit':
      return 'the plan allows no colder'
    case 'highest limit':
      return 'the plan allows no warmer'
    case 'range':
      return set_C === null
        ? 'it can not be set to anything that the plan allows'
        : 'that is as near to the target as it can be set'
    case 'air for the beer':
      return `air of that temperature is to bring ${subject} to its target`
    case 'free rise':
      return `${subject} may rise freely`
    case 'left alone':
      return 'the stage leaves the vessel alone'
    case 'limit broken':
      return `${subject} is beyond a limit of the plan`
    case 'beer temperature unknown':
      return `nobody else knows how warm ${subject} is, and it measures by itself`
    case 'no response':
      return 'it had no effect, and waits for the brewer'
    case 'lapsed':
      return 'its command lapsed, because nobody renewed it in time'
    case 'batch not running':
      return 'the batch is not running'
  }
}
