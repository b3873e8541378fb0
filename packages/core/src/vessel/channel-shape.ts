import type { Reading } from '../source-text/reading.ts'
import { type Field, may, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { choice, quantity, uncertain } from '../source-text/value-shapes.ts'
import type { UncertainValue } from '../units/parse.ts'
import type { QuantityKind } from '../units/quantity.ts'
import type { Channel } from './vessel.ts'

/** What an instrument can measure. */
export type MeasuredQuantity = 'beer' | 'air' | 'gravity' | 'pressure' | 'pH' | 'humidity' | 'power'

interface Usual {
  readonly unit: string
  readonly value: QuantityKind
  readonly difference: QuantityKind
  readonly sits: Channel['sits']
  readonly noise: number
  readonly resolution: number
  readonly bias_sd: number
  readonly lag_s: number
  readonly foam: number
  readonly lowest: number
  readonly highest: number
  readonly step: number
  /** The same in words, for the reference. */
  readonly said: Readonly<
    Record<'noise' | 'resolution' | 'bias' | 'lag' | 'foam' | 'lowest' | 'highest' | 'step', string>
  >
}

/**
 * A thermometer of class B (IEC 60751) may be wrong by 0.30 K at 0 °C, which taken as a uniform distribution is a standard
 * deviation of 0.17 K. Noise, resolution, lag and step: common practice, no source.
 */
const thermometer = (lag: [number, string], step: [number, string], sits: Channel['sits']): Usual => ({
  unit: '°C',
  value: 'temperature',
  difference: 'temperature difference',
  sits,
  noise: 0.03,
  resolution: 0.0625,
  bias_sd: 0.17,
  lag_s: lag[0],
  foam: 0,
  lowest: -30,
  highest: 130,
  step: step[0],
  said: {
    noise: '0.03 °C (common practice, no source)',
    resolution: '0.0625 °C, a sixteenth of a degree (common practice, no source)',
    bias: '0 °C ± 0.17 °C (IEC 60751 class B: ±0.30 K at 0 °C, taken as uniform)',
    lag: `${lag[1]} (common practice, no source)`,
    foam: 'none',
    lowest: '-30 °C',
    highest: '130 °C',
    step: `${step[1]} (common practice, no source)`,
  },
})

const plain = (
  unit: string,
  value: QuantityKind,
  numbers: Omit<Usual, 'unit' | 'value' | 'difference' | 'sits' | 'said' | 'lag_s' | 'foam'>,
  said: Omit<Usual['said'], 'lag' | 'foam'>,
): Usual => ({
  unit,
  value,
  difference: value,
  sits: 'beer',
  lag_s: 0,
  foam: 0,
  ...numbers,
  said: { lag: 'none', foam: 'none', ...said },
})

/** Usual properties of instruments. Where nothing else is named: common practice, no source. */
const USUAL: Readonly<Record<MeasuredQuantity, Usual>> = {
  beer: thermometer([60, '60 s, a probe in a pocket'], [3, '3 °C'], 'beer'),
  air: thermometer([20, '20 s'], [15, '15 °C, since a door may be opened'], 'air'),
  gravity: {
    unit: 'SG',
    value: 'gravity',
    difference: 'gravity difference',
    sits: 'beer',
    noise: 0.0005,
    resolution: 0.0001,
    bias_sd: 0.0015,
    lag_s: 0,
    foam: 0.002,
    lowest: 0.98,
    highest: 1.2,
    step: 0.02,
    said: {
      noise: '0.5 points (common practice, no source)',
      resolution: '0.1 points; by hand 0.5 points (common practice, no source)',
      bias: '0 points ± 1.5 points (common practice, no source)',
      lag: 'none',
      foam: '2 points; by hand none (common practice, no source)',
      lowest: '0.980',
      highest: '1.200',
      step: '20 points; by hand any (common practice, no source)',
    },
  },
  pressure: plain(
    'Pa',
    'pressure',
    { noise: 500, resolution: 100, bias_sd: 2000, lowest: -2e4, highest: 6e5, step: 1e5 },
    {
      noise: '5 mbar (common practice, no source)',
      resolution: '1 mbar (common practice, no source)',
      bias: '0 bar ± 0.02 bar (common practice, no source)',
      lowest: '-0.2 bar',
      highest: '6 bar',
      step: '1 bar (common practice, no source)',
    },
  ),
  pH: plain(
    '',
    'number',
    { noise: 0.02, resolution: 0.01, bias_sd: 0.05, lowest: 0, highest: 14, step: 1 },
    {
      noise: '0.02 (common practice, no source)',
      resolution: '0.01 (common practice, no source)',
      bias: '0 ± 0.05 (common practice, no source)',
      lowest: '0',
      highest: '14',
      step: '1 (common practice, no source)',
    },
  ),
  humidity: plain(
    '%',
    'share',
    { noise: 0.01, resolution: 0.001, bias_sd: 0.03, lowest: 0, highest: 1, step: 0.3 },
    {
      noise: '1 % (common practice, no source)',
      resolution: '0.1 % (common practice, no source)',
      bias: '0 % ± 3 % (common practice, no source)',
      lowest: '0 %',
      highest: '100 %',
      step: '30 % (common practice, no source)',
    },
  ),
  power: plain(
    'W',
    'power',
    { noise: 1, resolution: 1, bias_sd: 2, lowest: 0, highest: 1e4, step: 1e4 },
    {
      noise: '1 W (common practice, no source)',
      resolution: '1 W (common practice, no source)',
      bias: '0 W ± 2 W (common practice, no source)',
      lowest: '0 W',
      highest: '10 kW',
      step: '10 kW',
    },
  ),
}

function channelFields(usual: Usual) {
  const { value, difference, said } = usual
  const isTemperature = value === 'temperature'
  return {
    noise: may(quantity(difference), 'Standard deviation of the noise of a single reading.', said.noise),
    resolution: may(quantity(difference), 'Smallest step of the readings; 0: none.', said.resolution),
    bias: may(
      uncertain(difference, 'signed'),
      'Unknown constant error: its mean, and its standard deviation over instruments of this sort.',
      said.bias,
    ),
    'drift per day': may(quantity(difference), 'Standard deviation of the drift in a day.', 'none'),
    lag: may(quantity('duration'), 'How long it takes to show 63 % of a sudden change.', said.lag),
    foam: may(
      quantity(difference),
      'Extra disturbance while the beer foams: its standard deviation at the height of fermentation.',
      said.foam,
    ),
    lowest: may(quantity(value, 'signed'), 'Readings below are bad.', said.lowest),
    highest: may(quantity(value, 'signed'), 'Readings above are bad.', said.highest),
    step: may(
      quantity(difference, { least: 0, above: true }),
      'A larger change between two readings is not believed at once.',
      said.step,
    ),
    ...(isTemperature
      ? {
          sits: may(
            choice('beer', 'wall', 'air', 'room'),
            'Where the thermometer sits, when it is not where its quantity is.',
            usual.sits,
          ),
        }
      : {}),
  }
}

/** A channel, and which of its properties were not in the file. */
export interface ReadChannel {
  readonly channel: Channel
  readonly usual: ReadonlySet<keyof Channel>
}

const CHANNEL_KEYS = {
  noise: 'noise',
  resolution: 'resolution',
  bias: 'bias',
  'drift per day': 'drift_per_day',
  lag: 'lag_s',
  foam: 'foam',
  lowest: 'lowest',
  highest: 'highest',
  step: 'step',
  sits: 'sits',
} as const satisfies Record<string, keyof Channel>

type ChannelKey = keyof typeof CHANNEL_KEYS
type ChannelRecord = ReadRecord<Readonly<Record<string, Field<unknown>>>>

function channelShape(name: MeasuredQuantity): Shape<ReadChannel> {
  const usual = USUAL[name]
  const shape = record(channelFields(usual), {
    called: `the properties of the ${name} reading`,
    example: `${name}: {}, or with noise, resolution, bias and lag`,
    otherWords: { drift: 'drift per day', accuracy: 'bias', offset: 'bias', error: 'bias', where: 'sits' },
  })
  return {
    schema: { anyOf: [shape.schema, { type: 'null' }] },
    read: (node, reading) => {
      // "beer:" with nothing behind it is a channel with all its usual properties.
      const isEmpty = node.kind === 'scalar' && node.text.trim() === ''
      const read: ChannelRecord | undefined = isEmpty
        ? { values: {}, keyPlaces: {}, valuePlaces: {}, place: node.place }
        : shape.read(node, reading)
      return read === undefined ? undefined : channelFrom(name, usual, read, reading)
    },
  }
}

function channelFrom(
  name: MeasuredQuantity,
  usual: Usual,
  { values, valuePlaces, place }: ChannelRecord,
  reading: Reading,
): ReadChannel {
  const number = (key: ChannelKey, otherwise: number) => (values[key] as number | undefined) ?? otherwise
  const lowest = number('lowest', usual.lowest)
  const highest = number('highest', usual.highest)
  if (lowest >= highest) {
    reading.report(
      'reversed-range',
      valuePlaces.lowest ?? valuePlaces.highest ?? place,
      'The lowest believable reading is not below the highest.',
      'Exchange the two, or correct one of them.',
    )
  }
  const channel: Channel = {
    quantity: name,
    unit: usual.unit,
    sits: (values.sits as Channel['sits'] | undefined) ?? usual.sits,
    noise: number('noise', usual.noise),
    resolution: number('resolution', usual.resolution),
    bias: (values.bias as UncertainValue | undefined) ?? { value: 0, sd: usual.bias_sd },
    drift_per_day: number('drift per day', 0),
    lag_s: number('lag', usual.lag_s),
    foam: number('foam', usual.foam),
    lowest,
    highest,
    step: number('step', usual.step),
    place,
  }
  const keys = Object.keys(CHANNEL_KEYS) as ChannelKey[]
  return {
    channel,
    usual: new Set(keys.filter(key => values[key] === undefined).map(key => CHANNEL_KEYS[key])),
  }
}

const DOCS: Readonly<Record<MeasuredQuantity, string>> = {
  beer: 'The temperature of the beer.',
  air: 'The temperature of the air in the cabinet.',
  gravity: 'The specific gravity.',
  pressure: 'The pressure in the vessel.',
  pH: 'The pH of the beer.',
  humidity: 'The relative humidity.',
  power: 'The electric power.',
}

const measuresFields = Object.fromEntries(
  (Object.keys(DOCS) as MeasuredQuantity[]).map(name => [name, may(channelShape(name), DOCS[name])]),
) as Readonly<Record<MeasuredQuantity, Field<ReadChannel>>>

const measuresRecord = record(measuresFields, {
  called: 'the measured quantities',
  example: '{ beer: {} } or { gravity: { noise: 0.5 points } }',
  otherWords: { temperature: 'beer', temp: 'beer', sg: 'gravity', wort: 'beer', mash: 'beer' },
})

/** The channels of an instrument, in the order of the file. */
export const measuresShape: Shape<readonly ReadChannel[]> = {
  schema: { ...measuresRecord.schema, minProperties: 1 },
  read: (node, reading) => {
    const read = measuresRecord.read(node, reading)
    if (read === undefined) return undefined
    const { values, keyPlaces } = read
    return (Object.keys(values) as MeasuredQuantity[])
      .toSorted((a, b) => keyPlaces[a]!.offset - keyPlaces[b]!.offset)
      .map(name => {
        const { channel, usual } = values[name]!
        return { channel: { ...channel, place: keyPlaces[name]! }, usual }
      })
  },
}
