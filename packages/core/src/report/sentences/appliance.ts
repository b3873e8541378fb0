import type { EngineEvent, SwitchedName, SwitchReason } from '../../engine/events.ts'
import { formatDifference, formatDuration, formatTemperature } from '../../units/format.ts'
import type { SentenceContext } from './context.ts'
import { capital, subjectOf } from './names.ts'

type Of<K extends EngineEvent['kind']> = Extract<EngineEvent, { readonly kind: K }>

/** "Cooler on: the beer is at 18.4 °C, 0.3 °C above its target." */
export function saySwitched(event: Of<'switched'>, context: SentenceContext): string {
  const { appliance, on, why } = event
  const opening = `${capital(appliance)} ${on ? 'on' : 'off'}`
  const state = sayBesideTarget(event.target_C, event.beer_C, context)
  if (why === 'controller') return `${opening}: ${state ?? 'the controller asks for it'}.`
  const reason = sayReason(why, appliance, context)
  return state === null || why === 'beer temperature unknown' || why === 'batch not running'
    ? `${opening}: ${reason}.`
    : `${opening}: ${reason} (${state}).`
}

/** "Cooler held back for 4 min: it has to rest after its last run." */
export function sayWithheld(event: Of<'withheld'>, context: SentenceContext): string {
  const { appliance, until_s } = event
  const time = until_s === null ? '' : ` for ${formatDuration(Math.max(0, until_s - event.at_s))}`
  return `${capital(appliance)} wanted, but held back${time}: ${sayReason(event.why, appliance, context)}.`
}

export function sayNoResponse(event: Of<'no response'>, context: SentenceContext): string {
  const { units } = context
  const isWarmer = event.appliance === 'heater' || event.towards === 'warmer'
  const [expected, supposed] = isWarmer ? ['rise', 'warm'] : ['fall', 'cool']
  const from = formatTemperature(event.from_C, units)
  const to = formatTemperature(event.to_C, units)
  const course = from === to ? `stayed at ${from}` : `went from ${from} to ${to}`
  return (
    `${capital(event.appliance)} stopped: after ${formatDuration(event.after_s)} ${event.appliance === 'thermostat' ? 'far from its target' : 'on'}, ${subjectOf(context)} ${course}, ` +
    `without the ${expected} that was expected. The probe may not be where it belongs, or the ${event.appliance} does not ${supposed}.`
  )
}

export function sayBesideTarget(
  target_C: number | null,
  beer_C: number | null,
  context: SentenceContext,
): string | null {
  if (beer_C === null) return null
  const { units } = context
  const is = `${subjectOf(context)} is at ${formatTemperature(beer_C, units)}`
  if (target_C === null) return is
  const distance = formatDifference(Math.abs(beer_C - target_C), units)
  if (Number.parseFloat(distance) === 0) return `${is}, its target`
  return `${is}, ${distance} ${beer_C > target_C ? 'above' : 'below'} its target`
}

function sayReason(why: SwitchReason, appliance: SwitchedName, context: SentenceContext): string {
  const other = appliance === 'heater' ? 'cooler' : 'heater'
  switch (why) {
    case 'controller':
      return 'the controller asks for it'
    case 'other appliance runs':
      return `the ${other} is running`
    case 'changeover':
      return `too soon after the ${other} ran`
    case 'rest':
      return 'it has to rest after its last run'
    case 'beer temperature unknown':
      return `nobody knows how warm ${subjectOf(context)} is`
    case 'highest limit':
      return `${subjectOf(context)} is at its highest limit`
    case 'lowest limit':
      return `${subjectOf(context)} is at its lowest limit`
    case 'no response':
      return 'its last run had no effect, and it waits for the brewer'
    case 'lapsed':
      return 'its command lapsed, because nobody renewed it in time'
    case 'batch not running':
      return 'the batch is not running'
  }
}
