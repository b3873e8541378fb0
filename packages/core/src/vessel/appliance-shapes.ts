import type { Reading } from '../source-text/reading.ts'
import { may, need, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { quantity, uncertain } from '../source-text/value-shapes.ts'
import type { Appliance, Cooler, Heater } from './vessel.ts'

const power = uncertain('power', { least: 0, above: true, said: 'Write a positive power, for example 30 W.' })
const conductance = quantity('conductance')
const lostCommands = may(
  quantity('share', { least: 0, greatest: 1, said: 'Write a share from 0 % to 100 %.' }),
  'Share of the commands that get lost on the way.',
  'none',
)

const heaterFields = {
  power: need(power, 'Electric power.'),
  stores: may(
    uncertain('heat capacity'),
    'Heat that the element itself stores.',
    '0.4 kJ/°C ± 25 % (common practice, no source)',
  ),
  'to beer': may(conductance, 'From the element to the beer, for an element in the liquid.', 'none'),
  'to wall': may(
    conductance,
    'From the element to the wall, for a pad or a belt.',
    '3 W/°C when no path is given (common practice, no source)',
  ),
  'to air': may(
    conductance,
    'From the element to the air around it, which is that of the cabinet or of the room.',
    '0.5 W/°C when no path is given (common practice, no source)',
  ),
  'rests at least': may(quantity('duration'), 'Least time between switching off and on again.', '0 s'),
  'runs at least': may(quantity('duration'), 'Least time on. Safety may cut it short.', '0 s'),
  'lost commands': lostCommands,
}

const heaterRecord = record(heaterFields, {
  called: 'a heater',
  example: '{ power: 30 W, to wall: 3 W/°C }',
  otherWords: { watts: 'power', 'to mash': 'to beer', 'to wort': 'to beer' },
})

export const heaterShape: Shape<Heater> = {
  schema: heaterRecord.schema,
  read: (node, reading) => {
    const read = heaterRecord.read(node, reading)
    return read === undefined ? undefined : heaterFrom(read, reading)
  },
}

function heaterFrom(read: ReadRecord<typeof heaterFields>, reading: Reading): Heater {
  const { values, keyPlaces, place } = read
  const paths = ['to beer', 'to wall', 'to air'] as const
  const isGiven = paths.some(key => keyPlaces[key] !== undefined)
  const to = (key: (typeof paths)[number], usual: number) => values[key] ?? (isGiven ? 0 : usual)
  const heater: Heater = {
    power_W: values.power ?? { value: 1, sd: 0 },
    element_J_per_K: values.stores ?? { value: 400, sd: 100 },
    toBeer_W_per_K: to('to beer', 0),
    toWall_W_per_K: to('to wall', 3),
    toAir_W_per_K: to('to air', 0.5),
    ...applianceFrom(values, 0, 0),
    place,
  }
  checkPaths(
    heater.toBeer_W_per_K + heater.toWall_W_per_K,
    'heater',
    '“to wall” or “to beer”',
    place,
    reading,
  )
  return heater
}

const coolerFields = {
  power: need(power, 'Heat removed when the evaporator (or the coil) is at 20 °C.'),
  coldest: may(
    quantity('temperature', { least: -60, greatest: 10, said: 'Write a temperature from -60 °C to 10 °C.' }),
    'Temperature of the evaporator (or of the cooling water) at which it removes no more heat.',
    '-20 °C (common practice, no source)',
  ),
  stores: may(
    uncertain('heat capacity'),
    'Heat capacity of the evaporator or the coil; it goes on cooling after the cooler was switched off.',
    '4 kJ/°C ± 25 % (common practice, no source)',
  ),
  'to air': may(
    conductance,
    'From the evaporator to the air of the cabinet.',
    '6 W/°C when no path is given (common practice, no source)',
  ),
  'to beer': may(conductance, 'From a cooling coil or jacket to the beer.', 'none'),
  'rests at least': may(
    quantity('duration'),
    "A compressor's rest: least time between switching off and on again.",
    '5 min (air-conditioning practice)',
  ),
  'runs at least': may(
    quantity('duration'),
    'Least time on. Safety may cut it short.',
    '3 min (service practice of refrigerators: 2 to 3 min)',
  ),
  'lost commands': lostCommands,
}

const coolerRecord = record(coolerFields, {
  called: 'a cooler',
  example: '{ power: 90 W, to air: 6 W/°C, rests at least: 5 min }',
  otherWords: { watts: 'power', 'off time': 'rests at least', 'on time': 'runs at least' },
})

export const coolerShape: Shape<Cooler> = {
  schema: coolerRecord.schema,
  read: (node, reading) => {
    const read = coolerRecord.read(node, reading)
    return read === undefined ? undefined : coolerFrom(read, reading)
  },
}

function coolerFrom(read: ReadRecord<typeof coolerFields>, reading: Reading): Cooler {
  const { values, keyPlaces, place } = read
  const isGiven = keyPlaces['to air'] !== undefined || keyPlaces['to beer'] !== undefined
  const cooler: Cooler = {
    power_W: values.power ?? { value: 1, sd: 0 },
    coldest_C: values.coldest ?? -20,
    evaporator_J_per_K: values.stores ?? { value: 4000, sd: 1000 },
    toAir_W_per_K: values['to air'] ?? (isGiven ? 0 : 6),
    toBeer_W_per_K: values['to beer'] ?? 0,
    ...applianceFrom(values, 300, 180),
    place,
  }
  checkPaths(cooler.toAir_W_per_K + cooler.toBeer_W_per_K, 'cooler', '“to air” or “to beer”', place, reading)
  return cooler
}

interface Times {
  readonly 'rests at least'?: number
  readonly 'runs at least'?: number
  readonly 'lost commands'?: number
}

function applianceFrom(values: Times, rests_s: number, runs_s: number): Omit<Appliance, 'place'> {
  return {
    restsAtLeast_s: values['rests at least'] ?? rests_s,
    runsAtLeast_s: values['runs at least'] ?? runs_s,
    lostCommands: values['lost commands'] ?? 0,
  }
}

function checkPaths(sum: number, called: string, keys: string, place: Appliance['place'], reading: Reading) {
  if (sum > 0) return
  reading.report(
    'no-heat-path',
    place,
    `The ${called} does not reach the beer, because each of its heat paths is 0.`,
    `Give ${keys} a value above 0 W/°C.`,
  )
}
