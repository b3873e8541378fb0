import { controlShape, reportReversedHysteresis, USUAL_CONTROL } from '../plan/control-shape.ts'
import { list } from '../source-text/list.ts'
import type { Reading } from '../source-text/reading.ts'
import { type Field, may, need, type ReadRecord, record } from '../source-text/record.ts'
import { type Placed, placed, type Shape } from '../source-text/shape.ts'
import { name, nameOf, quantity, timeOfDay, uncertain } from '../source-text/value-shapes.ts'
import { coolerShape, heaterShape } from './appliance-shapes.ts'
import { changeoverOf } from './changeover.ts'
import { CABINET_KEYS, heatPathsFrom, heatShape } from './heat-shape.ts'
import { instrumentShape } from './instrument-shape.ts'
import { reportUnfitThermostat, thermostatShape } from './thermostat-shape.ts'
import type { Interlocks, Room, Vessel } from './vessel.ts'

const MOST_INSTRUMENTS = 30

const roomRecord = record(
  {
    average: need(
      uncertain('temperature', {
        least: -40,
        greatest: 60,
        said: 'Write a temperature from -40 °C to 60 °C.',
      }),
      'Mean temperature; ± how well it is known for the weeks of the batch.',
    ),
    'daily swing': may(
      uncertain('temperature difference'),
      'Half of the difference between the warmest and the coldest time of the day.',
      '1 °C ± 0.5 °C (common practice, no source)',
    ),
    'warmest at': may(timeOfDay, 'Local time of the daily maximum.', '16:00 (common practice, no source)'),
  },
  {
    called: 'the room',
    example: '{ average: 18 °C ± 2 °C, daily swing: 1 °C }',
    otherWords: { mean: 'average', temperature: 'average', swing: 'daily swing' },
  },
)

const interlocksRecord = record(
  {
    changeover: may(
      quantity('duration'),
      'Least time between heating and cooling, both ways.',
      'until element and evaporator have given off 95 % of what they hold (three time constants), and the thermometer in charge has seen it (its lag), in full minutes',
    ),
    'command lasts': may(
      quantity('duration', {
        least: 10,
        greatest: 86400,
        said: 'Write a time from 10 s to 1 d, for example 15 min.',
      }),
      'How long a command is valid; after that an appliance falls back to off by itself.',
      '15 min (common practice, no source)',
    ),
    'heater answers within': may(
      quantity('duration'),
      'Heating without a rise by `answer` within this time is stopped, because the probe may have fallen out. 0: not watched.',
      '6 h (common practice, no source)',
    ),
    'cooler answers within': may(
      quantity('duration'),
      'Cooling without a fall by `answer` within this time is stopped. 0: not watched.',
      '6 h (common practice, no source)',
    ),
    answer: may(
      quantity('temperature difference', { least: 0, above: true }),
      'The rise or fall that is expected.',
      '0.3 °C (common practice, no source)',
    ),
    'temperatures agree within': may(
      quantity('temperature difference', { least: 0, above: true }),
      'Two thermometers for the same quantity that differ by more are reported.',
      '1 °C (common practice, no source)',
    ),
    'gravities agree within': may(
      quantity('gravity difference', { least: 0, above: true }),
      'Two instruments for gravity that differ by more are reported.',
      '5 points (common practice, no source)',
    ),
  },
  { called: 'the interlocks', example: '{ changeover: 10 min, command lasts: 15 min }' },
)

const trustedNames = list(placed(nameOf('instrument')), {
  called: 'instruments',
  example: '[Probe, Float]',
  least: 1,
  most: MOST_INSTRUMENTS,
})

const trustRecord = record(
  Object.fromEntries(
    ['beer', 'air', 'gravity', 'pressure', 'pH', 'humidity', 'power'].map(quantityName => [
      quantityName,
      may(
        trustedNames,
        `Instruments for ${quantityName}, the most trusted first.`,
        'in the order of the file',
      ),
    ]),
  ) as Readonly<Record<string, Field<readonly Placed<string>[]>>>,
  { called: 'the order of trust', example: '{ beer: [Probe, Float] }' },
)

const vesselFields = {
  vessel: need(name, 'The name of the vessel.'),
  beer: need(
    uncertain('volume', { least: 0.1, greatest: 100_000, said: 'Write a volume from 0.1 L to 1000 hL.' }),
    'How much beer is usually in it. gal is the US gallon of 3.785 L.',
  ),
  'heat paths': may(
    heatShape,
    'How heat gets from the beer to the wall, to the air of the cabinet and to the room. Without `air stores` and `air to room` there is no cabinet.',
    'values for a plastic bucket of this size; with a cooler that has no coil in the beer, in a small refrigerator',
  ),
  room: need(roomRecord, 'The surroundings.'),
  heater: may(heaterShape, 'What warms the beer.', 'nothing'),
  cooler: may(coolerShape, 'What chills the beer.', 'nothing'),
  thermostat: may(
    thermostatShape,
    'A device of its own that is told a target and switches heater and cooler by itself, such as a chiller with its own controller.',
    'heater and cooler are switched by the engine',
  ),
  instruments: need(
    list(instrumentShape, {
      called: 'instruments',
      example: '- instrument: Probe, then every: 5 s and measures: { beer: {} } on the next lines',
      least: 1,
      most: MOST_INSTRUMENTS,
    }),
    'What measures.',
  ),
  trust: may(
    trustRecord,
    'Where several instruments measure the same quantity: in which order they are believed.',
    'in the order of the file',
  ),
  control: may(controlShape, 'Control settings that fit this vessel; a plan may override them.'),
  interlocks: may(interlocksRecord, 'What always wins over the controller.'),
}

const vesselRecord = record(vesselFields, {
  called: 'a vessel',
  example: 'vessel: Garage fridge, then beer:, room: and instruments:',
  otherWords: {
    name: 'vessel',
    volume: 'beer',
    ambient: 'room',
    fridge: 'cooler',
    refrigerator: 'cooler',
    controller: 'thermostat',
    sensors: 'instruments',
    probes: 'instruments',
    heat: 'heat paths',
  },
})

export const vesselShape: Shape<Vessel> = {
  schema: vesselRecord.schema,
  read: (node, reading) => {
    const read = vesselRecord.read(node, reading)
    return read === undefined ? undefined : vesselFrom(read, reading)
  },
}

type ReadVessel = ReadRecord<typeof vesselFields>

function vesselFrom(read: ReadVessel, reading: Reading): Vessel {
  const { values, place } = read
  const volume_L = values.beer ?? { value: 20, sd: 0 }
  const heat = heatPathsFrom(values['heat paths'], hasCabinet(read, reading), volume_L.value)
  const { thermostat } = values
  if (thermostat !== undefined) {
    const hasAppliance = read.keyPlaces.heater !== undefined || read.keyPlaces.cooler !== undefined
    reportUnfitThermostat(thermostat, hasAppliance, heat.cabinet, reading)
  }
  const trust = trustFrom(read, reading)
  return {
    name: values.vessel ?? '',
    volume_L,
    heat,
    room: roomFrom(values.room?.values ?? {}),
    ...(values.heater === undefined ? {} : { heater: values.heater }),
    ...(values.cooler === undefined ? {} : { cooler: values.cooler }),
    ...(thermostat === undefined ? {} : { thermostat }),
    instruments: values.instruments ?? [],
    trust,
    control: controlFrom(read, reading),
    interlocks: interlocksFrom(
      values.interlocks?.values ?? {},
      changeoverOf(values.heater, values.cooler, values.instruments ?? [], trust.beer ?? []),
    ),
    place,
  }
}

/** The usual settings may not fit to those of the file, as with `stop: 0.5 °C` alone. */
function controlFrom({ values, valuePlaces, place }: ReadVessel, reading: Reading): Vessel['control'] {
  const control = { ...USUAL_CONTROL, ...values.control }
  const { heatStart_K, heatStop_K, coolStart_K, coolStop_K } = values.control ?? {}
  // Where the file gives both, the control settings have been judged already.
  const half = <T>(start: T | undefined, stop: T | undefined) =>
    (start === undefined) !== (stop === undefined)
  const judged = {
    ...(half(heatStart_K, heatStop_K)
      ? { heatStart_K: control.heatStart_K, heatStop_K: control.heatStop_K }
      : {}),
    ...(half(coolStart_K, coolStop_K)
      ? { coolStart_K: control.coolStart_K, coolStop_K: control.coolStop_K }
      : {}),
  }
  reportReversedHysteresis(judged, () => valuePlaces.control ?? place, reading)
  return control
}

/** A cooler that cools air needs a cabinet around that air. */
function hasCabinet({ values }: ReadVessel, reading: Reading): boolean {
  const keys = values['heat paths']?.keyPlaces ?? {}
  const cabinetKey = CABINET_KEYS.find(key => keys[key] !== undefined)
  const toRoom = keys['wall to room']
  if (toRoom === undefined) return cabinetKey !== undefined || (values.cooler?.toAir_W_per_K ?? 0) > 0
  if (cabinetKey !== undefined) {
    reading.report(
      'conflicting-keys',
      toRoom,
      `“wall to room” is for a vessel without a cabinet, but “${cabinetKey}” describes one.`,
      'Write “wall to air” instead, or leave the keys of the cabinet out.',
    )
  } else if (values.cooler !== undefined && values.cooler.toAir_W_per_K > 0) {
    reading.report(
      'no-heat-path',
      values.cooler.place,
      'The cooler cools air, but the wall loses its heat straight to the room.',
      'Write “wall to air” and “air to room” instead of “wall to room”, or give the cooler “to beer”.',
    )
  }
  return false
}

function roomFrom(values: ReadRecord<RoomFields>['values']): Room {
  return {
    mean_C: values.average ?? { value: 18, sd: 0 },
    swing_K: values['daily swing'] ?? { value: 1, sd: 0.5 },
    warmestAt_s: values['warmest at'] ?? 16 * 3600,
  }
}

type RoomFields = typeof roomRecord extends Shape<ReadRecord<infer F>> ? F : never
type InterlockFields = typeof interlocksRecord extends Shape<ReadRecord<infer F>> ? F : never

function interlocksFrom(
  values: ReadRecord<InterlockFields>['values'],
  usualChangeover_s: number,
): Interlocks {
  return {
    changeover_s: values.changeover ?? usualChangeover_s,
    lease_s: values['command lasts'] ?? 900,
    heaterResponse_s: values['heater answers within'] ?? 6 * 3600,
    coolerResponse_s: values['cooler answers within'] ?? 6 * 3600,
    response_K: values.answer ?? 0.3,
    disagree_K: values['temperatures agree within'] ?? 1,
    disagree_SG: values['gravities agree within'] ?? 0.005,
  }
}

function trustFrom({ values, place }: ReadVessel, reading: Reading): Vessel['trust'] {
  const measuring = new Map<string, string[]>()
  for (const instrument of values.instruments ?? []) {
    for (const { quantity: measured } of instrument.channels) {
      const names = measuring.get(measured) ?? []
      measuring.set(measured, [...names, instrument.name])
    }
  }
  if (values.instruments !== undefined && !measuring.has('beer')) {
    reading.report(
      'no-instrument',
      place,
      'No instrument measures the temperature of the beer, so that nothing can be controlled.',
      'Add an instrument with measures: { beer: {} }.',
    )
  }
  const trust: Record<string, readonly string[]> = Object.fromEntries(measuring)
  for (const [measured, wished] of Object.entries(values.trust?.values ?? {})) {
    const able = measuring.get(measured) ?? []
    const named = checkTrusted(measured, wished ?? [], able, reading)
    if (named.length > 0) trust[measured] = [...named, ...able.filter(each => !named.includes(each))]
  }
  return { beer: [], air: [], gravity: [], 'forecast final gravity': [], ...trust }
}

/** The named instruments that exist and measure the quantity, each once. */
function checkTrusted(
  measured: string,
  wished: readonly Placed<string>[],
  able: readonly string[],
  reading: Reading,
): readonly string[] {
  const named: string[] = []
  for (const { value, place } of wished) {
    if (named.includes(value)) {
      reading.report('duplicate-instrument', place, `“${value}” stands here twice.`, 'Keep one of the two.')
    } else if (able.includes(value)) {
      named.push(value)
    } else {
      reading.report(
        'unknown-instrument',
        place,
        `No instrument “${value}” measures ${measured}.`,
        able.length === 0 ? `Leave “${measured}” out.` : `Name one of: ${able.join(', ')}.`,
      )
    }
  }
  return named
}
