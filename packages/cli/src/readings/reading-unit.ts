import { sgFromPlato } from '@attemper/core/formulas/gravity.ts'

/** How a column's numbers become the quantity's own unit: °C, specific gravity, Pa, a share, or themselves. */
export interface ReadingUnit {
  readonly name: string
  readonly of: (value: number) => number
}

const same = (value: number) => value

const TEMPERATURE: Readonly<Record<string, ReadingUnit>> = {
  c: { name: '°C', of: same },
  f: { name: '°F', of: value => (value - 32) / 1.8 },
  k: { name: 'K', of: value => value - 273.15 },
  // 80 degrees Réaumur are 100 °C; old brewing books use them.
  ré: { name: '°Ré', of: value => value * 1.25 },
}

const GRAVITY: Readonly<Record<string, ReadingUnit>> = {
  sg: { name: 'SG', of: same },
  p: { name: '°P', of: sgFromPlato },
  points: { name: 'points', of: value => 1 + value / 1000 },
  thousandths: { name: 'thousandths', of: value => value / 1000 },
}

const PRESSURE: Readonly<Record<string, ReadingUnit>> = {
  pa: { name: 'Pa', of: same },
  hpa: { name: 'hPa', of: value => value * 100 },
  mbar: { name: 'mbar', of: value => value * 100 },
  kpa: { name: 'kPa', of: value => value * 1000 },
  bar: { name: 'bar', of: value => value * 1e5 },
  // 1 psi = 6894.757 Pa (NIST SP 811).
  psi: { name: 'psi', of: value => value * 6894.757 },
}

const SHARE: Readonly<Record<string, ReadingUnit>> = {
  '1': { name: '1', of: same },
  '%': { name: '%', of: value => value / 100 },
}

const TABLES: Readonly<Record<string, Readonly<Record<string, ReadingUnit>>>> = {
  beer: TEMPERATURE,
  air: TEMPERATURE,
  gravity: GRAVITY,
  pressure: PRESSURE,
  humidity: SHARE,
}

/** The unit named by a person for a quantity; null when there is none of that name. */
export function readingUnit(quantity: string, name: string): ReadingUnit | null {
  const key = name
    .trim()
    .toLowerCase()
    .replace(/^°/, '')
    .replace(/^brix$|^bx$|^plato$/, 'p')
  const table = TABLES[quantity]
  return table === undefined ? { name, of: same } : (table[key] ?? null)
}

/** The unit of a column of which nobody said it: the quantity's own. */
export function usualUnit(quantity: string): ReadingUnit {
  const table = TABLES[quantity]
  return table === undefined ? { name: '', of: same } : Object.values(table)[0]!
}

/** What may be written for a quantity, for messages. */
export function unitNames(quantity: string): string {
  return Object.values(TABLES[quantity] ?? {})
    .map(unit => unit.name)
    .join(', ')
}
