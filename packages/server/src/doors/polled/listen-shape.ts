import type { Reading } from '@attemper/core/source-text/reading.ts'
import { may, type RecordOptions, record } from '@attemper/core/source-text/record.ts'
import type { Shape } from '@attemper/core/source-text/shape.ts'
import type { SourceNode } from '@attemper/core/source-text/source-node.ts'
import { name } from '@attemper/core/source-text/value-shapes.ts'
import { isUnitOf, unitsOfQuantity } from '../decode/own-unit.ts'
import { HWMON_INPUT } from '../kernel/hwmon.ts'
import { ONE_WIRE_ID } from '../kernel/one-wire.ts'
import { registerShape } from '../modbus/modbus-shapes.ts'
import { pattern } from '../word-shapes.ts'
import type { ListenSetting } from './listen-setting.ts'

const LISTEN: RecordOptions = {
  called: 'how an instrument is read',
  example: '{ one-wire: 28-000000abcdef }',
}

const listenRecord = record(
  {
    'one-wire': may(
      pattern(
        'the number of a 1-Wire probe',
        ONE_WIRE_ID,
        '28-000000abcdef',
        ' ls /sys/bus/w1/devices lists them.',
      ),
      'A probe on the 1-Wire bus of the machine, by its number.',
    ),
    hwmon: may(
      pattern('an input of a sensor chip', HWMON_INPUT, 'roomchip/temp1'),
      'A sensor chip that the kernel knows: its name and the input.',
    ),
    modbus: may(registerShape, 'A register of a device that speaks Modbus TCP.'),
    quantity: may(name, 'Which quantity is read, if the instrument measures several.'),
    unit: may(name, 'For Modbus: the unit of the reading.', "the quantity's own"),
  },
  LISTEN,
)

function readListen(node: SourceNode, reading: Reading): ListenSetting | undefined {
  const read = listenRecord.read(node, reading)
  if (read === undefined) return undefined
  const { quantity, unit, hwmon, modbus } = read.values
  const given = (['one-wire', 'hwmon', 'modbus'] as const).filter(key => read.keyPlaces[key] !== undefined)
  if (given.length !== 1) {
    reading.report(
      given.length === 0 ? 'missing-value' : 'conflicting-keys',
      node.place,
      'An instrument is read in exactly one way: one-wire, hwmon or modbus.',
      `Write it like ${LISTEN.example}.`,
    )
    return undefined
  }
  if (unit !== undefined && given[0] !== 'modbus') {
    reading.report(
      'conflicting-keys',
      read.keyPlaces.unit ?? node.place,
      'The kernel has units of its own.',
      'Leave the unit out.',
    )
    return undefined
  }
  if (unit !== undefined && quantity !== undefined && !isUnitOf(unit, quantity)) {
    reading.report(
      'not-a-choice',
      read.valuePlaces.unit ?? node.place,
      `“${unit.slice(0, 40)}” is no unit of ${quantity.slice(0, 40)}.`,
      `It can be ${unitsOfQuantity(quantity)}.`,
    )
    return undefined
  }
  const which = quantity === undefined ? {} : { quantity }
  const id = read.values['one-wire']
  if (id !== undefined) return { kind: 'one-wire', id, ...which }
  if (hwmon !== undefined) return { kind: 'hwmon', input: hwmon, ...which }
  if (modbus === undefined) return undefined
  return { kind: 'modbus', register: modbus, ...(unit === undefined ? {} : { unit }), ...which }
}

/** By instrument. */
export const listenShape: Shape<Readonly<Record<string, ListenSetting>>> = {
  schema: { type: 'object', additionalProperties: listenRecord.schema },
  read: (node, reading) => {
    if (node.kind !== 'mapping') {
      reading.report(
        'wrong-type',
        node.place,
        'Here should stand instruments by their names.',
        `Write the name of an instrument, a colon, and how it is read, like ${LISTEN.example}.`,
      )
      return undefined
    }
    return Object.fromEntries(
      node.entries.flatMap(({ key, keyPlace, value }) => {
        const setting = readListen(value, reading)
        reading.mention('instrument', key.trim(), keyPlace)
        return setting === undefined ? [] : [[key.trim(), setting] as const]
      }),
    )
  },
}
