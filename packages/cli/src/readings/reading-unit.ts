import { sgFromPlato } from '@attemper/core/formulas/gravity.ts'
import { beerGravityFromRefractometer } from '@attemper/core/formulas/refractometer.ts'

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

/** Whether it is what a refractometer shows, which tells a gravity only together with the original one. */
export function isRefractometerUnit(quantity: string, name: string): boolean {
  return quantity === 'gravity' && keyOf(name) === 'bx'
}

/** What a refractometer shows in the beer whose original gravity this is. */
export function refractometerUnit(original_SG: number): ReadingUnit {
  return { name: '°Bx', of: value => beerGravityFromRefractometer(value, original_SG) }
}

/** The unit named by a person for a quantity; null when there is none of that name. */
export function readingUnit(quantity: string, name: string): ReadingUnit | null {
  const key = keyOf(name)
  const table = TABLES[quantity]
  return table === undefined ? { name, of: same } : (table[key] ?? null)
}

function keyOf(name: string): string {
  return name
    .trim()
    .toLowerCase()
    .replace(/^°/, '')
    .replace(/^plato$/, 'p')
    .replace(/^brix$/, 'bx')
}

/** The unit of a column of which nobody said it: the quantity's own. */
export function usualUnit(quantity: string): ReadingUnit {
  const table = TABLES[quantity]
  return table === undefined ? { name: '', of: same } : Object.values(table)[0]!
}

/** What may be written for a quantity, for messages. */
export function unitNames(quantity: string): string {
  const names = Object.values(TABLES[quantity] ?? {}).map(unit => unit.name)
  return [...names, ...(quantity === 'gravity' ? ['°Bx'] : [])].join(', ')
}
