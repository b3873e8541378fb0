import type { Source } from '../polled/source.ts'
import { type ModbusAddress, readRegisters } from './modbus-tcp.ts'

export const NUMBER_TYPES = ['int16', 'uint16', 'int32', 'uint32', 'float32'] as const
export type NumberType = (typeof NUMBER_TYPES)[number]

export interface RegisterSetting extends ModbusAddress {
  readonly kind: 'input' | 'holding'
  /** Counted from 0; the first of two for a type of 32 bits. */
  readonly register: number
  readonly type: NumberType
  /** The protocol does not say which of two registers comes first. Usual: the one with the higher bits. */
  readonly lowWordFirst: boolean
  /** The number in the register times this is the reading. */
  readonly scale: number
}

/** `unit`: what the scaled number is in; undefined: the quantity's own. */
export function modbusRegister(
  setting: RegisterSetting,
  unit: string | undefined,
  within_ms?: number,
): Source {
  const { kind, register, type, lowWordFirst, scale } = setting
  const where = `${kind} register ${register} of unit ${setting.unit} at ${setting.host}:${setting.port}`
  const count = type.endsWith('32') ? 2 : 1
  return {
    door: 'modbus',
    async sound() {
      try {
        const words = await readRegisters(setting, kind, register, count, within_ms)
        const number = numberIn(lowWordFirst ? words.toReversed() : words, type)
        // A device without a value often has NaN in a register.
        if (!Number.isFinite(number)) return { value: null, problem: `${where}: it holds no number` }
        return { value: number * scale, unit, problem: null }
      } catch (error) {
        return { value: null, problem: `${where}: ${error instanceof Error ? error.message : String(error)}` }
      }
    },
  }
}

/** The higher word first; null: the number does not fit into the type. */
export function wordsOf(value: number, type: NumberType): readonly number[] | null {
  const bytes = new DataView(new ArrayBuffer(4))
  if (type === 'float32') {
    bytes.setFloat32(0, value)
    return Number.isFinite(bytes.getFloat32(0)) ? [bytes.getUint16(0), bytes.getUint16(2)] : null
  }
  const whole = Math.round(value)
  if (type.endsWith('32')) bytes.setUint32(0, whole)
  else bytes.setUint16(0, whole)
  const words = type.endsWith('32') ? [bytes.getUint16(0), bytes.getUint16(2)] : [bytes.getUint16(0)]
  return numberIn(words, type) === whole ? words : null
}

/** The higher word first. */
export function numberIn(words: readonly number[], type: NumberType): number {
  const bytes = new DataView(new ArrayBuffer(4))
  for (const [index, word] of words.entries()) bytes.setUint16(2 * index, word)
  switch (type) {
    case 'int16':
      return bytes.getInt16(0)
    case 'uint16':
      return bytes.getUint16(0)
    case 'int32':
      return bytes.getInt32(0)
    case 'uint32':
      return bytes.getUint32(0)
    case 'float32':
      return bytes.getFloat32(0)
  }
}
