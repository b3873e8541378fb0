import type { Finding } from '@attemper/core/finding.ts'
import type { Place } from '@attemper/core/place.ts'
import { fileSchema } from '@attemper/core/source-text/json-schema.ts'
import { list } from '@attemper/core/source-text/list.ts'
import { readYaml } from '@attemper/core/source-text/read-yaml.ts'
import { type Reading, startReading } from '@attemper/core/source-text/reading.ts'
import {
  type Fields,
  may,
  need,
  type ReadRecord,
  type RecordOptions,
  record,
} from '@attemper/core/source-text/record.ts'
import { expectScalar, type JsonSchema, type Shape } from '@attemper/core/source-text/shape.ts'
import type { SourceNode } from '@attemper/core/source-text/source-node.ts'
import { choice } from '@attemper/core/source-text/value-shapes.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { faultsOfMapping, type Mapping } from './decode/mapping.ts'
import { TIME_FORMATS } from './decode/time-format.ts'
import { gpioShape } from './gpio/gpio-shape.ts'
import type { GpioSetting } from './gpio/gpioset.ts'
import type { CoilSetting } from './modbus/coil.ts'
import { coilShape, targetRegisterShape } from './modbus/modbus-shapes.ts'
import type { TargetRegisterSetting } from './modbus/target-register.ts'
import type { ListenSetting } from './polled/listen-setting.ts'
import { listenShape } from './polled/listen-shape.ts'
import { listenedChannel, unknownInstrument } from './polled/listened-channel.ts'
import { sameName } from './slug.ts'

/** How the instruments of one vessel are heard, and its appliances are switched or set. */
export interface DoorSettings {
  readonly heater: ApplianceSetting
  readonly cooler: ApplianceSetting
  readonly thermostat: ThermostatSetting
  /** How to read what its instruments say in their own ways; by name. */
  readonly mappings: Readonly<Record<string, NamedMapping>>
  /** How those are read that do not speak by themselves; by name of the instrument. */
  readonly listen: Readonly<Record<string, ListenSetting>>
}

export type ApplianceSetting =
  | { readonly kind: 'mqtt' }
  | { readonly kind: 'http'; readonly url: string }
  | { readonly kind: 'modbus'; readonly coil: CoilSetting }
  | { readonly kind: 'gpio'; readonly line: GpioSetting }
  | { readonly kind: 'none' }

export type ThermostatSetting =
  | Extract<ApplianceSetting, { readonly kind: 'mqtt' | 'http' | 'none' }>
  | { readonly kind: 'register'; readonly register: TargetRegisterSetting }

export interface NamedMapping {
  readonly mapping: Mapping
  /** A topic of MQTT on which it is heard; null: only through HTTP. */
  readonly topic: string | null
}

export const USUAL_DOORS: DoorSettings = {
  heater: { kind: 'mqtt' },
  cooler: { kind: 'mqtt' },
  thermostat: { kind: 'mqtt' },
  mappings: {},
  listen: {},
}

/**
 * Reads the text that stands beside the vessel file; an empty one stands for the usual: commands by MQTT. All that is wrong
 * is a finding with its place and its cure; the settings are null when one of them is an error. Never throws. `vessel`: the
 * instruments that are named have to be among its own.
 */
export function readDoorSettings(
  text: string,
  file: string,
  vessel: Vessel | null = null,
): { readonly settings: DoorSettings | null; readonly findings: readonly Finding[] } {
  if (text.trim() === '') return { settings: USUAL_DOORS, findings: [] }
  const reading = startReading(text, file)
  const tree = readYaml(reading)
  const settings = tree === null ? undefined : settingsShape.read(tree, reading)
  if (vessel !== null) checkInstruments(reading, settings?.listen ?? {}, vessel)
  const findings = reading.findings()
  return { settings: settings === undefined || reading.hasErrors() ? null : settings, findings }
}

function checkInstruments(reading: Reading, listen: DoorSettings['listen'], vessel: Vessel): void {
  const channels = listChannels(vessel)
  for (const { name, place } of reading.mentions('instrument')) {
    const isKnown = channels.some(({ instrument }) => sameName(instrument.name, name))
    const setting = listen[name]
    const found = setting === undefined ? null : listenedChannel(name, setting.quantity, channels)
    const fault = !isKnown ? unknownInstrument(name, channels) : found?.ok === false ? found : null
    if (fault !== null) reading.report('not-a-choice', place, fault.message, fault.cure)
  }
}

const text = (called: string, example: string): Shape<string> => ({
  schema: { type: 'string' },
  read: (node, reading) => {
    const scalar = expectScalar(node, reading, `Write ${called} like ${example}.`)
    if (scalar === undefined) return undefined
    const written = scalar.text.trim()
    if (written !== '' && written.length <= 500) return written
    const fault = written === '' ? `Here should stand ${called}.` : `This is too long for ${called}.`
    reading.report(
      written === '' ? 'missing-value' : 'too-many',
      node.place,
      fault,
      `Write it like ${example}.`,
    )
    return undefined
  },
})

const pointer = text('a JSON Pointer', '/temperature')

const urlShape: Shape<string> = {
  schema: { type: 'string' },
  read: (node, reading) => {
    const written = text('an address', 'http://plug.local/cooler').read(node, reading)
    if (written === undefined) return undefined
    if (/^https?:$/.test(URL.parse(written)?.protocol ?? '')) return written
    reading.report(
      'not-a-choice',
      node.place,
      `“${written.slice(0, 60)}” is not the address of an appliance.`,
      'Write it like http://plug.local/cooler.',
    )
    return undefined
  },
}

const APPLIANCE: RecordOptions = {
  called: 'the door of an appliance',
  example: '{ mqtt: true } or { http: http://plug.local/cooler }',
}

const applianceRecord = record(
  {
    mqtt: may(choice('true'), 'Commands as retained messages on attemper/VESSEL/appliance/APPLIANCE.'),
    http: may(urlShape, 'Commands as PUT requests to this address.'),
    modbus: may(coilShape, 'A coil of a device that speaks Modbus TCP.'),
    gpio: may(gpioShape, 'A relay on a GPIO line of this machine.'),
    none: may(choice('true'), 'Nothing is switched.'),
  },
  APPLIANCE,
)

const thermostatRecord = record(
  {
    mqtt: may(choice('true'), 'Commands as retained messages on attemper/VESSEL/appliance/thermostat.'),
    http: may(urlShape, 'Commands as PUT requests to this address.'),
    modbus: may(targetRegisterShape, 'A holding register of a device that speaks Modbus TCP.'),
    none: may(choice('true'), 'Nothing is set.'),
  },
  APPLIANCE,
)

const thermostatShape = doorShape(thermostatRecord, ({ mqtt, http, modbus }): ThermostatSetting => {
  if (http !== undefined) return { kind: 'http', url: http }
  if (modbus !== undefined) return { kind: 'register', register: modbus }
  return { kind: mqtt === undefined ? 'none' : 'mqtt' }
})

/** One door of several, or the word for one that needs no more than its name. */
function doorShape<F extends Fields, T>(
  doors: Shape<ReadRecord<F>>,
  settingOf: (values: ReadRecord<F>['values']) => T,
): Shape<T | { readonly kind: 'mqtt' | 'none' }> {
  return {
    schema: { anyOf: [{ enum: ['mqtt', 'none'] }, doors.schema] },
    read: (node, reading) => {
      if (node.kind === 'scalar' && node.text.trim() !== '') {
        const word = choice('mqtt', 'none').read(node, reading)
        return word === undefined ? undefined : { kind: word }
      }
      const read = doors.read(node, reading)
      if (read === undefined) return undefined
      const given = Object.values(read.values).filter(value => value !== undefined)
      if (given.length === 1) return settingOf(read.values)
      // A faulty value has been reported already.
      if (Object.keys(read.keyPlaces).length === 1) return undefined
      reading.report(
        given.length === 0 ? 'missing-value' : 'conflicting-keys',
        node.place,
        'An appliance has exactly one door.',
        `Write it like ${APPLIANCE.example}.`,
      )
      return undefined
    },
  }
}

const applianceShape = doorShape(applianceRecord, ({ mqtt, http, modbus, gpio }): ApplianceSetting => {
  if (http !== undefined) return { kind: 'http', url: http }
  if (modbus !== undefined) return { kind: 'modbus', coil: modbus }
  if (gpio !== undefined) return { kind: 'gpio', line: gpio }
  return { kind: mqtt === undefined ? 'none' : 'mqtt' }
})

const mappingRecord = record(
  {
    topic: may(text('a topic', 'floats/7'), 'A topic of MQTT on which it is heard.'),
    items: may(pointer, 'Where an array of items stands that are read one by one.'),
    instrument: may(text('an instrument', 'Float'), 'The instrument that speaks.'),
    readings: need(
      list(
        record(
          {
            at: need(pointer, 'Where the number stands, as a JSON Pointer (RFC 6901).'),
            quantity: need(text('a quantity', 'gravity'), 'What it measures.'),
            unit: may(text('a unit', '°F'), 'Its unit.', "the quantity's own"),
            instrument: may(text('an instrument', 'Float'), 'The instrument, if it is another one.'),
          },
          { called: 'a reading', example: '{ at: /gravity, quantity: gravity, unit: SG }' },
        ),
        { called: 'readings', example: '[{ at: /gravity, quantity: gravity }]', least: 1, most: 100 },
      ),
      'What is read.',
    ),
    time: may(
      record(
        {
          at: need(pointer, 'Where the time stands, as a JSON Pointer.'),
          format: need(choice(...TIME_FORMATS), 'How it is written.'),
        },
        { called: 'a time', example: '{ at: /time, format: unix s }' },
      ),
      'When it was read.',
      'now',
    ),
  },
  { called: 'a mapping', example: '{ instrument: Float, readings: [{ at: /gravity, quantity: gravity }] }' },
)

function placeOf<F extends Fields>(key: keyof F & string, read: ReadRecord<F>, node: SourceNode): Place {
  return read.valuePlaces[key] ?? node.place
}

function readMapping(node: SourceNode, reading: Reading): NamedMapping | undefined {
  const read = mappingRecord.read(node, reading)
  if (read === undefined) return undefined
  const { topic, items, instrument, readings, time } = read.values
  if (instrument !== undefined) reading.mention('instrument', instrument, placeOf('instrument', read, node))
  for (const each of readings ?? []) {
    const own = each.values.instrument
    if (own !== undefined) reading.mention('instrument', own, placeOf('instrument', each, node))
  }
  if (readings === undefined) return undefined
  const mapping: Mapping = {
    ...(items === undefined ? {} : { items }),
    ...(instrument === undefined ? {} : { instrument }),
    readings: readings.flatMap(({ values: { at, quantity, unit, instrument: own } }) =>
      at === undefined || quantity === undefined
        ? []
        : [
            {
              at,
              quantity,
              ...(unit === undefined ? {} : { unit }),
              ...(own === undefined ? {} : { instrument: own }),
            },
          ],
    ),
    ...(time?.values.at === undefined || time.values.format === undefined
      ? {}
      : { time: { at: time.values.at, format: time.values.format } }),
  }
  if (
    topic !== undefined &&
    (/[+#]/.test(topic) || topic.startsWith('$') || /^attemper(?:\/|$)/.test(topic))
  ) {
    reading.report(
      'bad-name',
      read.valuePlaces.topic ?? node.place,
      `“${topic.slice(0, 60)}” can not be a topic of an instrument.`,
      'Write one without + and #, which does not begin with $ or attemper/.',
    )
  }
  if (!reading.hasErrors()) {
    for (const fault of faultsOfMapping(mapping)) {
      reading.report('not-a-choice', node.place, fault, 'Correct the mapping.')
    }
  }
  return { mapping, topic: topic ?? null }
}

const mappingsShape: Shape<DoorSettings['mappings']> = {
  schema: { type: 'object', additionalProperties: mappingRecord.schema },
  read: (node, reading) => {
    if (node.kind !== 'mapping') {
      reading.report(
        'wrong-type',
        node.place,
        'Here should stand mappings by their names.',
        'Write a name with a colon, and the mapping below it, indented.',
      )
      return undefined
    }
    return Object.fromEntries(
      node.entries.flatMap(({ key, value }) => {
        const mapping = readMapping(value, reading)
        return mapping === undefined ? [] : [[key.trim(), mapping] as const]
      }),
    )
  },
}

const settingsRecord = record(
  {
    heater: may(applianceShape, 'How the heater is switched.', 'mqtt'),
    cooler: may(applianceShape, 'How the cooler is switched.', 'mqtt'),
    thermostat: may(
      thermostatShape,
      'How a thermostat that does its own switching is told its target.',
      'mqtt',
    ),
    mappings: may(mappingsShape, 'How to read what instruments say in their own ways.'),
    listen: may(listenShape, 'How instruments are read that do not speak by themselves.'),
  },
  {
    called: 'the doors of a vessel',
    example: 'heater: mqtt',
    otherWords: { chiller: 'cooler', fridge: 'cooler' },
  },
)

const settingsShape: Shape<DoorSettings> = {
  schema: settingsRecord.schema,
  read: (node, reading) => {
    const read = settingsRecord.read(node, reading)
    return read === undefined ? undefined : { ...USUAL_DOORS, ...read.values }
  },
}

/** JSON Schema (draft 2020-12) of the settings, made from the same tables as the reader. */
export const doorsSchema: JsonSchema = fileSchema(
  'Doors',
  'How the instruments of a vessel are heard, and its appliances are switched or set.',
  settingsShape.schema,
)
