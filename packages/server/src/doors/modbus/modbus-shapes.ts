import { may, need, record } from '@attemper/core/source-text/record.ts'
import type { Shape } from '@attemper/core/source-text/shape.ts'
import { choice, flag, quantity } from '@attemper/core/source-text/value-shapes.ts'
import { pattern, whole } from '../word-shapes.ts'
import type { CoilSetting } from './coil.ts'
import type { ModbusAddress } from './modbus-tcp.ts'
import { NUMBER_TYPES, type RegisterSetting } from './register.ts'
import type { TargetRegisterSetting } from './target-register.ts'

const MODBUS_PORT = 502

const ADDRESS = {
  host: need(
    pattern('the name of a device', /^[\w.:-]+$/, 'plc.local or 192.0.2.7'),
    'The name or the address of the device.',
  ),
  port: may(whole(1, 65_535), 'Its port.', String(MODBUS_PORT)),
  unit: may(whole(0, 255), 'Its unit, which tells devices behind a gateway apart.', '1'),
}

function addressOf(values: { host?: string; port?: number; unit?: number }): ModbusAddress | undefined {
  const { host, port = MODBUS_PORT, unit = 1 } = values
  return host === undefined ? undefined : { host, port, unit }
}

const coilRecord = record(
  { ...ADDRESS, coil: need(whole(0, 65_535), 'The coil, counted from 0.') },
  { called: 'a coil of Modbus TCP', example: '{ host: plc.local, coil: 3 }' },
)

export const coilShape: Shape<CoilSetting> = {
  schema: coilRecord.schema,
  read: (node, reading) => {
    const values = coilRecord.read(node, reading)?.values
    const address = values === undefined ? undefined : addressOf(values)
    return address === undefined || values?.coil === undefined ? undefined : { ...address, coil: values.coil }
  },
}

const registerNumber = whole(0, 65_535)

const NUMBER = {
  type: may(choice(...NUMBER_TYPES), 'What stands in the register, or in two of them for 32 bits.', 'int16'),
  'low word first': may(flag, 'Of two registers: whether the first one holds the lower bits.', 'false'),
}

const registerRecord = record(
  {
    ...ADDRESS,
    'input register': may(registerNumber, 'An input register, counted from 0.'),
    'holding register': may(registerNumber, 'A holding register, counted from 0.'),
    ...NUMBER,
    scale: may(quantity('number', 'signed'), 'The number in the register times this is the reading.', '1'),
  },
  { called: 'a register of Modbus TCP', example: '{ host: plc.local, input register: 0, scale: 0.1 }' },
)

/** A register as the vessel's doors write it. */
export const registerShape: Shape<RegisterSetting> = {
  schema: registerRecord.schema,
  read: (node, reading) => {
    const read = registerRecord.read(node, reading)
    if (read === undefined) return undefined
    const { values, keyPlaces } = read
    const written = (['input register', 'holding register'] as const).filter(
      key => keyPlaces[key] !== undefined,
    )
    if (written.length !== 1) {
      reading.report(
        written.length === 0 ? 'missing-value' : 'conflicting-keys',
        read.place,
        'A reading stands in exactly one register.',
        'Write either input register: 0 or holding register: 0.',
      )
      return undefined
    }
    const address = addressOf(values)
    const register = values[written[0]!]
    if (address === undefined || register === undefined) return undefined
    return {
      ...address,
      kind: written[0] === 'input register' ? 'input' : 'holding',
      register,
      type: values.type ?? 'int16',
      lowWordFirst: values['low word first'] ?? false,
      scale: values.scale ?? 1,
    }
  },
}

const targetRegisterRecord = record(
  {
    ...ADDRESS,
    'holding register': need(registerNumber, 'The holding register, counted from 0.'),
    ...NUMBER,
    scale: may(
      quantity('number', { least: 1e-6, greatest: 1e6, said: 'Write a positive number, for example 0.1.' }),
      'The number in the register times this is the target in °C.',
      '1',
    ),
    off: need(
      quantity('temperature'),
      'A register holds no “off”: the target that is written for it, at which the thermostat does no harm.',
    ),
  },
  {
    called: 'a register of Modbus TCP for a target',
    example: '{ host: chiller.local, holding register: 3, scale: 0.1, off: 20 °C }',
  },
)

/** A holding register to which a target is written. */
export const targetRegisterShape: Shape<TargetRegisterSetting> = {
  schema: targetRegisterRecord.schema,
  read: (node, reading) => {
    const values = targetRegisterRecord.read(node, reading)?.values
    const address = values === undefined ? undefined : addressOf(values)
    const register = values?.['holding register']
    if (values === undefined || address === undefined || register === undefined || values.off === undefined)
      return undefined
    return {
      ...address,
      register,
      type: values.type ?? 'int16',
      lowWordFirst: values['low word first'] ?? false,
      scale: values.scale ?? 1,
      off_C: values.off,
    }
  },
}
