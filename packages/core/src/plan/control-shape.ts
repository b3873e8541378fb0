import type { Place } from '../place.ts'
import type { Reading } from '../source-text/reading.ts'
import { may, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { choice, quantity } from '../source-text/value-shapes.ts'
import type { ControlSettings } from './plan.ts'

/**
 * Settings that hold when neither the vessel nor the plan says otherwise.
 *
 * Hysteresis 0.3 K on either side: common practice, no source (on/off differentials of 0.3 to 1 K are usual). Gain and
 * integral time are those of the SIMC rule (Skogestad, J. Process Control 13 (2003) 291, closed-loop time = delay) for a
 * vessel that full power would warm by 20 K/h, with a delay of 5 min: 1 / (20 K/h × 10 min) = 30 %/K and 4 × 10 min. A
 * weaker heater or cooler is then calm rather than fast. The other values: common practice, no source.
 */
export const USUAL_CONTROL: ControlSettings = {
  method: 'on-off',
  heatStart_K: 0.3,
  heatStop_K: 0,
  coolStart_K: 0.3,
  coolStop_K: 0,
  gain_per_K: 0.3,
  integral_s: 2400,
  derivative_s: 0,
  window_s: 60,
  cascadeGain: 4,
  airLowest_C: -5,
  airHighest_C: 35,
  reached_K: 0.5,
}

const startAndStop = (appliance: string, side: string, other: string, usualStart: string) =>
  record(
    {
      start: may(
        quantity('temperature difference'),
        `The ${appliance} starts when the beer is this far ${side} the target.`,
        usualStart,
      ),
      stop: may(
        quantity('temperature difference', 'signed'),
        `The ${appliance} stops when the beer is this far ${side} the target; negative: ${other} it.`,
        '0 °C, at the target itself',
      ),
    },
    { called: `the hysteresis of the ${appliance}`, example: '{ start: 0.3 °C, stop: 0 °C }' },
  )

const controlFields = {
  method: may(
    choice('on-off', 'proportional', 'cascade'),
    'on-off: heater and cooler each with its own hysteresis. proportional: PI(D) with output proportioned in time. cascade: the error of the beer sets a target for the air of the cabinet.',
    'on-off',
  ),
  heat: may(
    startAndStop('heater', 'below', 'above', '0.3 °C (common practice, no source)'),
    'Hysteresis of heating.',
  ),
  cool: may(
    startAndStop('cooler', 'above', 'below', '0.3 °C (common practice, no source)'),
    'Hysteresis of cooling.',
  ),
  gain: may(
    quantity('gain', { least: 0, above: true }),
    'Proportional: share of full power for each degree of error, in %/°C.',
    '30 %/°C (SIMC rule for 20 °C/h at full power and a delay of 5 min)',
  ),
  integral: may(
    quantity('duration'),
    'Proportional: integral time. 0 switches the integral part off.',
    '40 min (SIMC rule for a delay of 5 min)',
  ),
  derivative: may(quantity('duration'), 'Proportional: derivative time, on the measurement.', '0 s'),
  window: may(
    quantity('duration', {
      least: 1,
      greatest: 3600,
      said: 'Write a time from 1 s to 1 h, for example 60 s.',
    }),
    'Proportional: length of one window of switching on and off; also how often the controller decides.',
    '60 s (contact relays need 20 to 60 s at least: common practice, no source)',
  ),
  air: may(
    record(
      {
        gain: may(
          quantity('number', { least: 0, above: true }),
          'The target of the air is that of the beer plus this many times the error of the beer.',
          '4 (common practice, no source)',
        ),
        lowest: may(quantity('temperature'), 'The target of the air is never below this.', '-5 °C'),
        highest: may(quantity('temperature'), 'The target of the air is never above this.', '35 °C'),
      },
      { called: 'the settings of the air', example: '{ gain: 4, lowest: 0 °C, highest: 30 °C }' },
    ),
    'Cascade: how the target of the air follows from the error of the beer.',
  ),
  'reached within': may(
    quantity('temperature difference', { least: 0, above: true }),
    'The target counts as reached when the beer is within this of it.',
    '0.5 °C',
  ),
}

const controlRecord = record(controlFields, {
  called: 'the control settings',
  example: 'control: { method: on-off, heat: { start: 0.3 °C, stop: 0 °C } }',
  otherWords: {
    hysteresis: 'heat',
    gains: 'gain',
    cycle: 'window',
    kp: 'gain',
    ti: 'integral',
    td: 'derivative',
  },
})

/** Control settings; only those that were written. */
export const controlShape: Shape<Partial<ControlSettings>> = {
  schema: controlRecord.schema,
  read: (node, reading) => {
    const read = controlRecord.read(node, reading)
    if (read === undefined) return undefined
    const settings = settingsFrom(read)
    reportReversedHysteresis(settings, key => read.valuePlaces[key]!, reading)
    const { airLowest_C, airHighest_C } = settings
    if (airLowest_C !== undefined && airHighest_C !== undefined && airLowest_C >= airHighest_C) {
      reading.report(
        'reversed-range',
        read.valuePlaces.air!,
        'The lowest temperature of the air is not below the highest.',
        'Exchange the two, or correct one of them.',
      )
    }
    return settings
  },
}

function settingsFrom({ values }: ReadRecord<typeof controlFields>): Partial<ControlSettings> {
  const heat = values.heat?.values ?? {}
  const cool = values.cool?.values ?? {}
  const air = values.air?.values ?? {}
  const all = {
    method: values.method,
    heatStart_K: heat.start,
    heatStop_K: heat.stop,
    coolStart_K: cool.start,
    coolStop_K: cool.stop,
    gain_per_K: values.gain,
    integral_s: values.integral,
    derivative_s: values.derivative,
    window_s: values.window,
    cascadeGain: air.gain,
    airLowest_C: air.lowest,
    airHighest_C: air.highest,
    reached_K: values['reached within'],
  }
  return Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined))
}

/** An appliance that stops where it starts, or before, would never run. Settings that are not there are not judged. */
export function reportReversedHysteresis(
  settings: Partial<ControlSettings>,
  placeOf: (key: 'heat' | 'cool') => Place,
  reading: Reading,
) {
  for (const [key, start, stop] of [
    ['heat', settings.heatStart_K, settings.heatStop_K],
    ['cool', settings.coolStart_K, settings.coolStop_K],
  ] as const) {
    if (start === undefined || stop === undefined || stop < start) continue
    reading.report(
      'reversed-hysteresis',
      placeOf(key),
      `It would stop ${key}ing where it starts, or before.`,
      'Let `stop` be nearer to the target than `start`, as in { start: 0.3 °C, stop: 0 °C }.',
    )
  }
}
