import type { Reading } from '../source-text/reading.ts'
import { may, need, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { flag, localDateTime, newName, quantity } from '../source-text/value-shapes.ts'
import { type MeasuredQuantity, measuresShape } from './channel-shape.ts'
import type { Channel, Instrument } from './vessel.ts'

const outagesRecord = record(
  {
    'per day': need(quantity('number'), 'How many gaps a day, on average; 0.2 is one in five days.'),
    last: need(quantity('duration', { least: 0, above: true }), 'How long a gap lasts, on average.'),
  },
  { called: 'the outages', example: '{ per day: 0.2, last: 2 h }' },
)

const instrumentFields = {
  instrument: need(newName('instrument'), 'The name of the instrument.'),
  every: need(
    quantity('duration', {
      least: 1,
      greatest: 30 * 86400,
      said: 'Write a time from 1 s to 30 d, for example 5 s or 30 min.',
    }),
    'Time between two reports; for an instrument read by hand, how often the brewer means to read it.',
  ),
  'by hand': may(flag, 'true: the brewer reads it and types the value in, as with a hydrometer.', 'false'),
  timeout: may(
    quantity('duration', { least: 1, said: 'Write a time of at least 1 s, for example 2 h.' }),
    'Silence after which it is no longer believed.',
    'four times `every`, and at least 60 s',
  ),
  calibrated: may(
    localDateTime,
    'When it was last compared with something that can be trusted (ice water and another thermometer, water and a wort of known gravity).',
  ),
  'calibrate every': may(
    quantity('duration', {
      least: 86400,
      said: 'Write a time of at least a day, for example 180 d.',
    }),
    'How long a calibration is good for; once it is over, the vessel says so before a batch is started.',
    'for ever',
  ),
  outages: may(outagesRecord, 'Radio or power gaps.', 'none'),
  measures: need(measuresShape, 'What it measures: one entry for each quantity.'),
}

const instrumentRecord = record(instrumentFields, {
  called: 'an instrument',
  example: '{ instrument: Probe, every: 5 s, measures: { beer: {} } }',
  otherWords: { name: 'instrument', interval: 'every', channels: 'measures', quantity: 'measures' },
})

/** An instrument, with the usual values of its kind where the file says nothing. */
export const instrumentShape: Shape<Instrument> = {
  schema: instrumentRecord.schema,
  read: (node, reading) => {
    const read = instrumentRecord.read(node, reading)
    return read === undefined ? undefined : instrumentFrom(read, reading)
  },
}

function instrumentFrom(read: ReadRecord<typeof instrumentFields>, reading: Reading): Instrument {
  const { values, valuePlaces, place } = read
  const byHand = values['by hand'] ?? false
  const outages = values.outages?.values ?? {}
  const measured = values.measures ?? []
  if (valuePlaces.measures !== undefined && values.measures !== undefined && measured.length === 0) {
    reading.report(
      'missing-key',
      valuePlaces.measures,
      'It is not said what the instrument measures.',
      'Write it like measures: { beer: {} } or measures: { gravity: {} }.',
    )
  }
  return {
    name: values.instrument ?? '',
    every_s: values.every ?? 1,
    byHand,
    ...(values.timeout === undefined ? {} : { timeout_s: values.timeout }),
    ...(values.calibrated === undefined ? {} : { calibrated: values.calibrated }),
    ...(values['calibrate every'] === undefined ? {} : { calibrateEvery_s: values['calibrate every'] }),
    outages: { perDay: outages['per day'] ?? 0, length_s: outages.last ?? 0 },
    channels: measured.map(({ channel, usual }) => (byHand ? readByHand(channel, usual) : channel)),
    place: valuePlaces.instrument ?? place,
    places: {
      every: valuePlaces.every ?? place,
      ...(valuePlaces.timeout === undefined ? {} : { timeout: valuePlaces.timeout }),
    },
  }
}

/**
 * A person draws a sample: no foam disturbs it, and between two readings days may pass, so that no change is too large.
 * What the file says itself is kept.
 */
function readByHand(channel: Channel, usual: ReadonlySet<keyof Channel>): Channel {
  return {
    ...channel,
    ...(usual.has('foam') ? { foam: 0 } : {}),
    ...(usual.has('step') ? { step: channel.highest - channel.lowest } : {}),
    ...(usual.has('noise') ? { noise: Math.max(channel.noise, HAND_NOISE[channel.quantity] ?? 0) } : {}),
    ...(usual.has('resolution')
      ? { resolution: Math.max(channel.resolution, HAND_RESOLUTION[channel.quantity] ?? 0) }
      : {}),
    ...(usual.has('lag_s') ? { lag_s: 0 } : {}),
  }
}

/** A hydrometer's scale has a line for each 1 or 2 points and is read to half of one. Common practice, no source. */
const HAND_NOISE: Readonly<Partial<Record<MeasuredQuantity | (string & {}), number>>> = {
  gravity: 0.0005,
  beer: 0.2,
}
const HAND_RESOLUTION: Readonly<Partial<Record<MeasuredQuantity | (string & {}), number>>> = {
  gravity: 0.0005,
  beer: 0.5,
}
