import {
  formatDifference,
  formatNumber,
  formatPercent,
  formatTemperature,
  spellDuration,
} from '../units/format.ts'
import type { ControlSettings } from './plan.ts'
import type { Wording } from './say-condition.ts'

/** Control settings as clauses, only those that were given: "the heater starts 0.3 °C below the target", ... */
export function sayControl(settings: Partial<ControlSettings>, wording: Wording): readonly string[] {
  const { units, subject } = wording
  const clauses: string[] = []
  const { method, heatStart_K, heatStop_K, coolStart_K, coolStop_K } = settings

  if (method === 'on-off') clauses.push('heater and cooler are switched on and off around the target')
  if (method === 'proportional') {
    clauses.push('heater and cooler run for a share of each time window, in proportion to what is needed')
  }
  if (method === 'cascade') {
    clauses.push(
      `${subject}’s distance from its target sets a target for the air around it, and the air is kept there`,
    )
  }

  const beside = (difference_K: number, towards: 'below' | 'above'): string => {
    if (difference_K === 0) return 'at the target'
    const away = towards === 'below' ? 'above' : 'below'
    const side = difference_K > 0 ? towards : away
    return `${formatDifference(Math.abs(difference_K), units, 'as written')} ${side} the target`
  }
  const hysteresis = (
    appliance: string,
    start_K: number | undefined,
    stop_K: number | undefined,
    towards: 'below' | 'above',
  ): void => {
    const starts = start_K === undefined ? [] : [`starts ${beside(start_K, towards)}`]
    const stops = stop_K === undefined ? [] : [`stops ${beside(stop_K, towards)}`]
    const both = [...starts, ...stops]
    if (both.length > 0) clauses.push(`the ${appliance} ${both.join(' and ')}`)
  }
  hysteresis('heater', heatStart_K, heatStop_K, 'below')
  hysteresis('cooler', coolStart_K, coolStop_K, 'above')

  if (settings.gain_per_K !== undefined) {
    const gain = units.temperature === 'C' ? settings.gain_per_K : settings.gain_per_K / 1.8
    clauses.push(
      `each °${units.temperature} of error asks for ${formatPercent(gain, 'as written')} of the power`,
    )
  }
  if (settings.integral_s !== undefined) {
    clauses.push(
      settings.integral_s === 0
        ? 'there is no integral part'
        : `the integral time is ${spellDuration(settings.integral_s)}`,
    )
  }
  if (settings.derivative_s !== undefined) {
    clauses.push(
      settings.derivative_s === 0
        ? 'there is no derivative part'
        : `the derivative time is ${spellDuration(settings.derivative_s)}`,
    )
  }
  if (settings.window_s !== undefined) clauses.push(`one window lasts ${spellDuration(settings.window_s)}`)
  if (settings.cascadeGain !== undefined) {
    clauses.push(
      `the target of the air is moved by ${formatNumber(settings.cascadeGain)} times ${subject}’s error`,
    )
  }
  const { airLowest_C, airHighest_C } = settings
  if (airLowest_C !== undefined && airHighest_C !== undefined) {
    const lowest = formatTemperature(airLowest_C, units, 'as written')
    const highest = formatTemperature(airHighest_C, units, 'as written')
    clauses.push(`the target of the air stays between ${lowest} and ${highest}`)
  } else if (airLowest_C !== undefined) {
    clauses.push(
      `the target of the air is never below ${formatTemperature(airLowest_C, units, 'as written')}`,
    )
  } else if (airHighest_C !== undefined) {
    clauses.push(
      `the target of the air is never above ${formatTemperature(airHighest_C, units, 'as written')}`,
    )
  }
  if (settings.reached_K !== undefined) {
    const within = formatDifference(settings.reached_K, units, 'as written')
    clauses.push(`the target counts as reached within ${within} of it`)
  }
  return clauses
}
