/**
 * Quantities as a plan would write them: in the units of the brewer, as short as it can be, and so exact that reading the
 * text gives the same number again. Numbers that a unit of another scale (°F, °P) can only come near to are written when
 * they are within 1e-9 of it, which is far below anything that can be measured.
 */
import { platoFromSg } from '../formulas/gravity.ts'
import { type DisplayUnits, USUAL_UNITS } from '../units/display.ts'
import { formatDuration } from '../units/format.ts'
import { parseQuantity } from '../units/parse.ts'
import { KINDS, type QuantityKind, type Unit } from '../units/quantity.ts'

const ALL_DIGITS = 17
const NEAR = 1e-9
/** A number of another scale with more digits than this is nobody's; the usual unit says better what was meant. */
const NEAR_DIGITS = 5

export function printQuantity(value: number, kind: QuantityKind, units: DisplayUnits): string {
  if (kind === 'duration') return printDuration(value)
  if (kind === 'number') return String(value)
  const written = symbolsFor(kind, units).map(symbol => writingOf(kind, symbol))
  const find = (digits: number, tolerance: number): string | undefined =>
    shortest(written.map(way => findText(value, way, kind, digits, tolerance)))
  if (isOtherScale(written)) return find(NEAR_DIGITS, NEAR) ?? printQuantity(value, kind, USUAL_UNITS)
  return find(ALL_DIGITS, 0) ?? find(ALL_DIGITS, NEAR) ?? `${value} ${KINDS[kind].base}`
}

function printDuration(value_s: number): string {
  return Number.isInteger(value_s) ? formatDuration(value_s, 'as written') : `${value_s} s`
}

/** The units among which the shortest text is chosen. An empty symbol: a bare number. */
function symbolsFor(kind: QuantityKind, units: DisplayUnits): readonly string[] {
  const degree = `°${units.temperature}`
  switch (kind) {
    case 'temperature':
    case 'temperature difference':
      return [degree]
    case 'temperature rate':
      return ['h', 'd', 'min'].map(time => `${degree}/${time}`)
    case 'gain':
      return [`%/${degree}`]
    case 'gravity':
      return units.gravity === 'SG' ? [''] : ['°P']
    case 'gravity difference':
      return units.gravity === 'SG' ? ['points'] : ['°P']
    case 'gravity rate':
      return ['d', 'h'].map(time => `${units.gravity === 'SG' ? 'points' : '°P'}/${time}`)
    case 'pressure':
      return ['bar', 'Pa']
    default:
      return [KINDS[kind].units[0]!.symbol]
  }
}

interface Writing {
  readonly symbol: string
  readonly unit: Unit
}

function writingOf(kind: QuantityKind, symbol: string): Writing {
  const { units } = KINDS[kind]
  return { symbol, unit: units.find(unit => unit.symbol === symbol) ?? units[0]! }
}

function isOtherScale(written: readonly Writing[]): boolean {
  return written.some(({ symbol }) => symbol.includes('°F') || symbol.includes('°P'))
}

/** The number of this unit that is worth `value`, to rounding. */
function inUnit(value: number, { symbol, unit }: Writing, kind: QuantityKind): number {
  if (symbol.startsWith('°P')) {
    const perTime = kind === 'gravity rate' ? unit.toBase(1) / gravityOfOnePlato() : 1
    return kind === 'gravity' ? platoFromSg(value) : platoFromSg(1 + value / perTime)
  }
  const zero = unit.toBase(0)
  return (value - zero) / (unit.toBase(1) - zero)
}

function gravityOfOnePlato(): number {
  return KINDS['gravity difference'].units.find(unit => unit.symbol === '°P')!.toBase(1)
}

/** The fewest digits that read as the value again, or within a share `tolerance` of it. */
function findText(
  value: number,
  writing: Writing,
  kind: QuantityKind,
  mostDigits: number,
  tolerance: number,
): string | undefined {
  const number = inUnit(value, writing, kind)
  for (let digits = 1; digits <= mostDigits; digits++) {
    const rounded = Number(number.toPrecision(digits))
    const text = withSymbol(rounded, writing.symbol, kind)
    const read = parseQuantity(text, kind)
    if (read.ok && Math.abs(read.value - value) <= tolerance * Math.abs(value)) return text
  }
  return undefined
}

function withSymbol(number: number, symbol: string, kind: QuantityKind): string {
  if (symbol === '') {
    const text = String(number)
    const usual = number.toFixed(3)
    return kind === 'gravity' && text.length < usual.length ? usual : text
  }
  const one = Math.abs(number) === 1
  return `${number} ${one ? symbol.replace(/^points/, 'point') : symbol}`
}

function shortest(texts: readonly (string | undefined)[]): string | undefined {
  return texts.reduce(
    (best, text) => (text !== undefined && (best === undefined || text.length < best.length) ? text : best),
    undefined,
  )
}
