import { waterDensity_kg_per_m3 } from '@attemper/core/formulas/water-density.ts'
import { KINDS, normalUnit, type QuantityKind, spellingsOf } from '@attemper/core/units/quantity.ts'
import type { MeasuredQuantity } from '@attemper/core/vessel/channel-shape.ts'
import type { RefusalCode } from '../report.ts'
import { quoted } from './quoted.ts'

export type Converted =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly code: RefusalCode; readonly message: string }

interface Measured {
  readonly kind: QuantityKind
  /** What can be in a vessel at all, in the quantity's own unit: wide enough for any instrument, narrow enough for 1e308. */
  readonly least: number
  readonly greatest: number
  readonly own: string
}

const TEMPERATURE: Measured = { kind: 'temperature', least: -273.15, greatest: 1000, own: '°C' }

const MEASURED: Readonly<Record<MeasuredQuantity, Measured>> = {
  beer: TEMPERATURE,
  air: TEMPERATURE,
  gravity: { kind: 'gravity', least: 0.5, greatest: 2, own: 'SG' },
  pressure: { kind: 'pressure', least: -1e6, greatest: 1e8, own: 'Pa' },
  pH: { kind: 'number', least: -5, greatest: 20, own: '' },
  humidity: { kind: 'share', least: -0.5, greatest: 1.5, own: 'as a share of 1' },
  power: { kind: 'power', least: -1e7, greatest: 1e7, own: 'W' },
}

/** For a quantity that the vessel file does not know; whoever keeps the names refuses it by name. */
const UNKNOWN: Measured = { kind: 'number', least: -1e15, greatest: 1e15, own: '' }

const ZERO_C_IN_K = 273.15

type Conversion = (value: number) => number

/**
 * Units beside those of the core that instruments speak. A density is turned into specific gravity 20/20 °C, as if it had
 * been measured at 20 °C.
 */
const OTHER_UNITS: Readonly<Partial<Record<QuantityKind, Readonly<Record<string, Conversion>>>>> = {
  temperature: { k: value => value - ZERO_C_IN_K, kelvin: value => value - ZERO_C_IN_K, cel: value => value },
  gravity: {
    'kg/m3': value => value / waterDensity_kg_per_m3(20),
    'kg/m³': value => value / waterDensity_kg_per_m3(20),
    'g/cm3': value => (1000 * value) / waterDensity_kg_per_m3(20),
    'g/ml': value => (1000 * value) / waterDensity_kg_per_m3(20),
    points: value => 1 + value / 1000,
    '1': value => value,
    '/': value => value,
  },
  number: { ph: value => value, '1': value => value, '/': value => value },
  share: {
    '%rh': value => value / 100,
    '/100': value => value / 100,
    '/': value => value,
    '1': value => value,
  },
}

/**
 * A value in the unit that the sender named, in the quantity's own unit. Without a unit it is in the own unit already.
 * Refuses what is no number, what is in a unit of something else, and what can not exist.
 */
export function inOwnUnit(value: unknown, unit: string | undefined, quantity: string): Converted {
  const number = typeof value === 'bigint' ? Number(value) : value
  if (typeof number !== 'number' || !Number.isFinite(number)) {
    return {
      ok: false,
      code: 'not-a-number',
      message: `${quoted(typeof number === 'number' ? String(number) : value)} is no number; a reading needs a finite one.`,
    }
  }
  const measured = Object.hasOwn(MEASURED, quantity) ? MEASURED[quantity as MeasuredQuantity] : UNKNOWN
  const convert = conversion(unit, measured.kind)
  if (convert === undefined) {
    return {
      ok: false,
      code: 'wrong-shape',
      message: `${quoted(unit)} is no unit of ${quoted(quantity)}; it can be ${unitsOf(measured.kind)}.`,
    }
  }
  const own = convert(number)
  if (own >= measured.least && own <= measured.greatest) return { ok: true, value: own }
  const behind = measured.own === '' ? '' : ` ${measured.own}`
  return {
    ok: false,
    code: 'out-of-range',
    message:
      `${quoted(String(number))}${unit === undefined ? '' : ` ${unit}`} can not be a reading of ${quantity}; ` +
      `it lies between ${measured.least} and ${measured.greatest}${behind}.`,
  }
}

/** Whether readings of this quantity can be sent in this unit: for proof-reading a mapping before anything arrives. */
export function isUnitOf(unit: string, quantity: string): boolean {
  const { kind } = Object.hasOwn(MEASURED, quantity) ? MEASURED[quantity as MeasuredQuantity] : UNKNOWN
  return conversion(unit, kind) !== undefined
}

export function unitsOfQuantity(quantity: string): string {
  return unitsOf((Object.hasOwn(MEASURED, quantity) ? MEASURED[quantity as MeasuredQuantity] : UNKNOWN).kind)
}

/** Spellings of units that were looked up before; instruments say the same again with each reading. */
const KNOWN_UNITS = new Map<string, Conversion>()
const MOST_KNOWN = 1000
const LONGEST_UNIT = 40

const unchanged: Conversion = value => value

function conversion(unit: string | undefined, kind: QuantityKind): Conversion | undefined {
  if (unit === undefined) return unchanged
  const short = unit.slice(0, LONGEST_UNIT)
  const written = `${kind} ${short}`
  const known = KNOWN_UNITS.get(written)
  if (known !== undefined) return known
  const found = unit.trim() === '' ? unchanged : lookUpUnit(short, kind)
  if (KNOWN_UNITS.size >= MOST_KNOWN) KNOWN_UNITS.clear()
  if (found !== undefined && unit.length <= LONGEST_UNIT) KNOWN_UNITS.set(written, found)
  return found
}

function lookUpUnit(unit: string, kind: QuantityKind): Conversion | undefined {
  const normal = normalUnit(unit)
  const others = OTHER_UNITS[kind]
  if (others !== undefined && Object.hasOwn(others, normal)) return others[normal]
  return spellingsOf(kind).get(normal)?.toBase
}

function unitsOf(kind: QuantityKind): string {
  const extra = { temperature: ['K'], gravity: ['points', 'kg/m3'], number: ['pH'], share: ['%RH'] } as const
  const symbols = [
    ...KINDS[kind].units.map(({ symbol }) => symbol),
    ...(extra[kind as keyof typeof extra] ?? []),
  ]
  return symbols.join(', ')
}
