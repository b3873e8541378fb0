import { parseDuration } from './duration.ts'
import { nearestWord } from './nearest-word.ts'
import { moved, type Parsed, parsed, refused } from './problem.ts'
import {
  bareName,
  KINDS,
  type Kind,
  normalUnit,
  type QuantityKind,
  spellingsOf,
  type Unit,
} from './quantity.ts'

const NUMBER = /^([+\-−–]?)\s*((?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+(?![a-z]))?)/i
const DECIMAL_COMMA = /^[+\-−–]?\s*\d+,\d+/

/** A number, and the text of the unit behind it. */
interface Written {
  readonly value: number
  readonly unit: string
  readonly unitOffset: number
  readonly numberLength: number
}

/**
 * Reads a quantity such as "18 °C", "1.012", "10 points", "1 d 12 h", "75 %". The value comes in the base unit of its kind
 * (see quantity.ts). A problem says where in the text it lies, and what would be right. Never throws.
 */
export function parseQuantity(text: string, kind: QuantityKind): Parsed<number> {
  if (kind === 'duration') return parseDuration(text)
  const written = readNumber(text, kind)
  if (!written.ok) return written
  const { value, unit, unitOffset, numberLength } = written.value
  if (unit === '') return bareNumber(text, value, KINDS[kind], unitOffset - numberLength, numberLength)
  const found = findUnit(unit, unitOffset, kind)
  if (!found.ok) return found
  const base = found.value.toBase(value)
  if (!Number.isFinite(base)) {
    return refused('out-of-range', 0, text.length, `${text.trim()} is too large.`, exampleOf(KINDS[kind]))
  }
  return checkScale(text, base, kind)
}

/** A value that is not known exactly; `sd` is one standard deviation, in the base unit of the value's spread. */
export interface UncertainValue {
  readonly value: number
  readonly sd: number
}

const PLUS_MINUS = /±|\+\s?\/?\s?[-−–]/

/**
 * Reads "30 W ± 5 %", "1.012 ± 2 points", "14 °C ± 3 °C" or "14 ± 3 °C" (also with +- or +/-). The number after ± is one
 * standard deviation, in percent it is relative to the value. Without ± the value is exact (sd 0). Never throws.
 */
export function parseUncertain(text: string, kind: QuantityKind): Parsed<UncertainValue> {
  const sign = PLUS_MINUS.exec(text)
  if (sign === null) {
    const alone = parseQuantity(text, kind)
    return alone.ok ? parsed({ value: alone.value, sd: 0 }) : alone
  }
  const left = text.slice(0, sign.index)
  const rightOffset = sign.index + sign[0].length
  const right = text.slice(rightOffset)
  if (right.trim() === '') {
    return refused(
      'missing-value',
      sign.index,
      sign[0].length,
      'Behind the ± a number is missing.',
      `Write a standard deviation there, for example ${KINDS[KINDS[kind].spread].examples[0]}.`,
    )
  }
  const value = readLeft(left, right, kind)
  if (!value.ok) return value
  const sd = readSpread(right, value.value, KINDS[kind])
  if (!sd.ok) return moved(sd, rightOffset)
  if (sd.value < 0) {
    return refused(
      'negative',
      rightOffset,
      right.length,
      'A standard deviation cannot be negative.',
      'Write a positive number after the ±.',
    )
  }
  return parsed({ value: value.value, sd: sd.value })
}

/** In "14 ± 3 °C" the unit at the end is that of both numbers. */
function readLeft(left: string, right: string, kind: QuantityKind): Parsed<number> {
  const value = parseQuantity(left, kind)
  if (value.ok || value.problem.code !== 'missing-unit') return value
  const number = readNumber(right, KINDS[kind].spread)
  if (!number.ok || number.value.unit === '' || number.value.unit === '%') return value
  const shared = parseQuantity(`${left.trimEnd()} ${number.value.unit}`, kind)
  return shared.ok ? shared : value
}

function readSpread(right: string, value: number, kind: Kind): Parsed<number> {
  if (kind.kind !== 'share' && /%\s*$/.test(right)) {
    const start = right.length - right.trimStart().length
    if (kind.spread !== kind.kind) {
      return refused(
        'wrong-unit',
        start,
        right.trim().length,
        `The uncertainty of ${kind.called} cannot be relative.`,
        `Write a difference after the ±, for example ${KINDS[kind.spread].examples[0]}.`,
      )
    }
    const share = parseQuantity(right, 'share')
    return share.ok ? parsed(share.value * Math.abs(value)) : share
  }
  return parseQuantity(right, kind.spread)
}

function readNumber(text: string, kind: QuantityKind): Parsed<Written> {
  const start = text.length - text.trimStart().length
  const body = text.trim()
  const { called } = KINDS[kind]
  if (body === '') {
    return refused('missing-value', 0, text.length, `Here should stand ${called}.`, exampleOf(KINDS[kind]))
  }
  const comma = DECIMAL_COMMA.exec(body)
  if (comma !== null) {
    return refused(
      'decimal-comma',
      start,
      comma[0].length,
      `“${comma[0]}” has a decimal comma.`,
      `Write it with a point: ${comma[0].replace(',', '.')}.`,
    )
  }
  const match = NUMBER.exec(body)
  if (match === null) {
    return refused(
      'not-a-number',
      start,
      body.length,
      `“${quoted(body)}” is not ${called}.`,
      exampleOf(KINDS[kind]),
    )
  }
  const magnitude = Number(match[2])
  if (!Number.isFinite(magnitude)) {
    return refused(
      'not-a-number',
      start,
      match[0].length,
      `“${quoted(match[0])}” is too large.`,
      exampleOf(KINDS[kind]),
    )
  }
  const value = match[1] !== '' && match[1] !== '+' ? -magnitude : magnitude
  const rest = body.slice(match[0].length)
  const unit = rest.trim()
  const unitOffset = start + match[0].length + (rest.length - rest.trimStart().length)
  return parsed({ value, unit, unitOffset, numberLength: match[0].length })
}

function bareNumber(text: string, value: number, kind: Kind, offset: number, length: number): Parsed<number> {
  if (kind.bare === 'zero' && value === 0) return parsed(0)
  // 10 is meant as points, 0.010 as a difference of specific gravity; nobody means a difference of 10.000.
  const meant = kind.kind === 'gravity difference' && Math.abs(value) >= 0.2
  if (kind.bare === 'accepted' && !meant) return checkScale(text, value, kind.kind)
  const number = text.trim()
  const choices = meant
    ? [`${number} points`]
    : kind.units.slice(0, 2).map(unit => `${number} ${unit.symbol}`)
  return refused(
    'missing-unit',
    offset,
    length,
    `“${quoted(number)}” has no unit, but ${kind.called} needs one.`,
    `Write ${choices.join(' or ')}.`,
  )
}

function findUnit(unit: string, offset: number, kind: QuantityKind): Parsed<Unit> {
  const { called } = KINDS[kind]
  const known = spellingsOf(kind)
  const normal = normalUnit(unit)
  const unitOfKind = known.get(normal)
  if (unitOfKind !== undefined) return parsed(unitOfKind)
  for (const other of Object.values(KINDS)) {
    if (spellingsOf(other.kind).has(normal)) {
      return refused(
        'wrong-unit',
        offset,
        unit.length,
        `“${quoted(unit)}” is a unit of ${bareName(other)}, but here should stand ${called}.`,
        exampleOf(KINDS[kind]),
      )
    }
  }
  const near = nearestWord(normal, known.keys())
  if (near !== null) {
    return refused(
      'misspelt-unit',
      offset,
      unit.length,
      `“${quoted(unit)}” is not a unit of ${bareName(KINDS[kind])}.`,
      `Did you mean “${asWritten(near)}”?`,
    )
  }
  return refused(
    'wrong-unit',
    offset,
    unit.length,
    `“${quoted(unit)}” is not a unit of ${bareName(KINDS[kind])}.`,
    exampleOf(KINDS[kind]),
  )
}

/** A unit in normal form, with its capital letters. */
function asWritten(normal: string): string {
  for (const { units } of Object.values(KINDS)) {
    for (const { symbol } of units) if (normalUnit(symbol) === normal) return symbol
  }
  return normal
}

/** Specific gravities that a beer, a wort or a spirit can have at all; outside it is a slip of the pen. */
const LEAST_SG = 0.9
const GREATEST_SG = 1.25

function checkScale(text: string, value: number, kind: QuantityKind): Parsed<number> {
  if (kind === 'temperature' && value < -273.15) {
    return refused(
      'out-of-range',
      0,
      text.length,
      `${text.trim()} is below absolute zero.`,
      exampleOf(KINDS.temperature),
    )
  }
  if (kind !== 'gravity' || (value >= LEAST_SG && value <= GREATEST_SG)) return parsed(value)
  const start = text.length - text.trimStart().length
  return refused(
    'out-of-range',
    start,
    text.trim().length,
    `${quoted(text.trim())} is no specific gravity of a beer or a wort.`,
    gravityCure(value),
  )
}

function gravityCure(value: number): string {
  if (value >= 900 && value <= 1250) return `Write ${(value / 1000).toFixed(3)}.`
  if (value >= 1 && value <= 200) {
    const points = (1 + value / 1000).toFixed(Number.isInteger(value) ? 3 : 4)
    return value <= 40 ? `Write ${points}, or ${value} °P if that is what is meant.` : `Write ${points}.`
  }
  return exampleOf(KINDS.gravity)
}

function exampleOf(kind: Kind): string {
  return `Write it like ${kind.examples.join(' or ')}.`
}

/** Long texts are cut in messages. */
function quoted(text: string): string {
  return text.length > 40 ? `${text.slice(0, 40)}…` : text
}
