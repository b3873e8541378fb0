import type { Reading } from '../source-text/reading.ts'
import { may, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { choice, quantity, uncertain } from '../source-text/value-shapes.ts'
import type { Thermostat } from './vessel.ts'

const step = quantity('temperature difference', {
  least: 0.01,
  greatest: 10,
  said: 'Write a difference from 0.01 °C to 10 °C.',
})

const settable = quantity('temperature', {
  least: -40,
  greatest: 120,
  said: 'Write a temperature from -40 °C to 120 °C.',
})

const thermostatFields = {
  follows: may(
    choice('beer', 'air'),
    "Which temperature its own thermometer measures and keeps: that of the beer, or of the cabinet's air (or bath).",
    'beer',
  ),
  hysteresis: may(
    step,
    'How far from its target it starts to heat or to cool; it stops at the target.',
    '0.5 °C (common practice, no source)',
  ),
  lowest: may(settable, 'The lowest target that it takes.', '0 °C'),
  highest: may(settable, 'The highest target that it takes.', '30 °C'),
  resolution: may(step, 'The smallest step of its target.', '0.1 °C'),
  'when unheard': may(
    choice('off', 'keeps its target'),
    'What it does when its command has lapsed: off, as the contract of an appliance asks, or it goes on with the last target for ever, as most bought ones do.',
    'off',
  ),
  bias: may(
    uncertain('temperature difference', 'signed'),
    'Constant error of its thermometer: the mean, and how much it varies.',
    '0 °C ± 0.3 °C (common practice, no source)',
  ),
  lag: may(
    quantity('duration'),
    'How slowly its thermometer follows, as a time constant.',
    '60 s (common practice, no source)',
  ),
  'lost commands': may(
    quantity('share', { least: 0, greatest: 1, said: 'Write a share from 0 % to 100 %.' }),
    'Share of the commands that get lost on the way.',
    'none',
  ),
}

const thermostatRecord = record(thermostatFields, {
  called: 'a thermostat',
  example: '{ follows: beer, hysteresis: 0.5 °C, lowest: 2 °C, highest: 30 °C }',
  otherWords: { controls: 'follows', min: 'lowest', max: 'highest', step: 'resolution', offset: 'bias' },
})

export const thermostatShape: Shape<Thermostat> = {
  schema: thermostatRecord.schema,
  read: (node, reading) => {
    const read = thermostatRecord.read(node, reading)
    return read === undefined ? undefined : thermostatFrom(read, reading)
  },
}

function thermostatFrom(
  { values, valuePlaces, place }: ReadRecord<typeof thermostatFields>,
  reading: Reading,
): Thermostat {
  const thermostat: Thermostat = {
    follows: values.follows ?? 'beer',
    hysteresis_K: values.hysteresis ?? 0.5,
    lowest_C: values.lowest ?? 0,
    highest_C: values.highest ?? 30,
    resolution_K: values.resolution ?? 0.1,
    whenUnheard: values['when unheard'] ?? 'off',
    bias: values.bias ?? { value: 0, sd: 0.3 },
    lag_s: values.lag ?? 60,
    lostCommands: values['lost commands'] ?? 0,
    place,
  }
  if (thermostat.lowest_C >= thermostat.highest_C) {
    reading.report(
      'reversed-range',
      valuePlaces.lowest ?? valuePlaces.highest ?? place,
      'The lowest target of the thermostat is not below its highest.',
      'Write both as its manual gives them, for example lowest: 2 °C and highest: 30 °C.',
    )
  }
  return thermostat
}

/** What the rest of the vessel must have for a thermostat to make sense. */
export function reportUnfitThermostat(
  { follows, place }: Thermostat,
  hasAppliance: boolean,
  hasCabinet: boolean,
  reading: Reading,
): void {
  if (!hasAppliance) {
    reading.report(
      'no-effect',
      place,
      'The thermostat has nothing to switch.',
      'Describe the heater or the cooler behind it: how strong it is, and where its heat goes.',
    )
  }
  if (follows === 'air' && !hasCabinet) {
    reading.report(
      'no-heat-path',
      place,
      "The thermostat follows the cabinet's air, but there is no cabinet.",
      'Write “follows: beer”, or give the heat paths “wall to air” and “air to room”.',
    )
  }
}
