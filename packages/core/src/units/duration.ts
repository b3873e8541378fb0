import { nearestWord } from './nearest-word.ts'
import { type Parsed, parsed, refused } from './problem.ts'
import { bareName, DURATION_UNITS, KINDS, normalUnit, spellingsOf } from './quantity.ts'

const EXAMPLE = 'Write it like 3 d, 12 h, 90 min, 1 d 12 h or PT72H.'
const PART = /\s*((?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?)\s*([^\d\s.,+\-−–]*)/iy

/**
 * Reads "3 d", "48 h", "90 min", "30 s", "1 d 12 h" or a duration of ISO 8601-1 with designators ("PT72H", "P3DT12H").
 * In seconds. Months and years are refused, because their length depends on the calendar. Never throws.
 */
export function parseDuration(text: string): Parsed<number> {
  const start = text.length - text.trimStart().length
  const body = text.trim()
  if (body === '') return refused('missing-value', 0, text.length, 'Here should stand a time.', EXAMPLE)
  if (/^[-−–]/.test(body)) {
    return refused(
      'negative',
      start,
      body.length,
      'A time cannot be negative.',
      `Write ${body.slice(1).trim()}.`,
    )
  }
  if (/^P/.test(body)) return readDesignators(body, start)
  return readParts(body, start)
}

function readParts(body: string, start: number): Parsed<number> {
  let position = 0
  let sum_s = 0
  let largest = -1
  while (position < body.length) {
    PART.lastIndex = position
    const match = PART.exec(body)
    if (match === null) return unreadable(body, position, start)
    const [whole, number, unit] = match as unknown as [string, string, string]
    const unitAt = start + position + whole.length - unit.length
    if (unit === '') return withoutUnit(body, number, start, position + whole.length)
    const normal = normalUnit(unit)
    const known = spellingsOf('duration').get(normal)
    if (known === undefined) return unknownUnit(unit, unitAt)
    const rank = DURATION_UNITS.indexOf(known)
    if (rank <= largest) {
      return refused(
        'bad-duration',
        unitAt,
        unit.length,
        `“${unit}” cannot follow a smaller unit, or the same one.`,
        'Write the parts of a time from the largest unit to the smallest, as in 1 d 12 h.',
      )
    }
    largest = rank
    sum_s += known.toBase(Number(number))
    position += whole.length
  }
  return finite(sum_s, body, start)
}

function unreadable(body: string, position: number, start: number): Parsed<number> {
  const rest = body.slice(position)
  const at = start + position + (rest.length - rest.trimStart().length)
  const word = rest.trim()
  return refused('not-a-number', at, word.length, `“${word.slice(0, 40)}” is not a time.`, EXAMPLE)
}

function withoutUnit(body: string, number: string, start: number, end: number): Parsed<number> {
  const comma = /^\s*\d+,\d+/.exec(body)
  if (comma !== null) {
    return refused(
      'decimal-comma',
      start,
      comma[0].length,
      `“${comma[0]}” has a decimal comma.`,
      `Write it with a point: ${comma[0].replace(',', '.')}.`,
    )
  }
  if (end === body.length && Number(number) === 0) return parsed(0)
  return refused(
    'missing-unit',
    start + end - number.length,
    number.length,
    `“${number}” has no unit, but a time needs one.`,
    `Write ${number} h, ${number} d or ${number} min.`,
  )
}

function unknownUnit(unit: string, at: number): Parsed<number> {
  const normal = normalUnit(unit)
  if (normal === 'm' || normal === 'mo' || normal === 'month' || normal === 'months') {
    const minutes = normal === 'm'
    return refused(
      minutes ? 'misspelt-unit' : 'calendar-duration',
      at,
      unit.length,
      minutes ? '“m” could be minutes or months.' : 'The length of a month depends on the calendar.',
      minutes ? 'Did you mean “min”?' : 'Write it in days, as in 30 d.',
    )
  }
  if (/^(y|yr|yrs|year|years|a)$/.test(normal)) {
    return refused(
      'calendar-duration',
      at,
      unit.length,
      'The length of a year depends on the calendar.',
      'Write it in days, as in 365 d.',
    )
  }
  for (const other of Object.values(KINDS)) {
    if (spellingsOf(other.kind).has(normal)) {
      return refused(
        'wrong-unit',
        at,
        unit.length,
        `“${unit}” is a unit of ${bareName(other)}, but here should stand a time.`,
        EXAMPLE,
      )
    }
  }
  const near = nearestWord(normal, spellingsOf('duration').keys())
  return near === null
    ? refused('wrong-unit', at, unit.length, `“${unit.slice(0, 40)}” is not a unit of time.`, EXAMPLE)
    : refused('misspelt-unit', at, unit.length, `“${unit}” is not a unit of time.`, `Did you mean “${near}”?`)
}

const AMOUNT = '(\\d+(?:[.,]\\d+)?)'
const DESIGNATORS = new RegExp(
  `^P(?:${AMOUNT}Y)?(?:${AMOUNT}M)?(?:${AMOUNT}W)?(?:${AMOUNT}D)?(?:T(?:${AMOUNT}H)?(?:${AMOUNT}M)?(?:${AMOUNT}S)?)?$`,
)
/** Years and months have no fixed length. */
const DESIGNATOR_S = [Number.NaN, Number.NaN, 604800, 86400, 3600, 60, 1]

function readDesignators(body: string, start: number): Parsed<number> {
  const match = DESIGNATORS.exec(body)
  const amounts = match === null ? [] : match.slice(1, 8)
  const given = amounts.flatMap((amount, i) => (amount === undefined ? [] : [i]))
  const last = given.at(-1)
  if (last === undefined || body.endsWith('T')) {
    return refused(
      'bad-duration',
      start,
      body.length,
      `“${body.slice(0, 40)}” is not a duration of ISO 8601.`,
      'Write it like P3D, PT72H or P1DT12H, or simply 3 d or 1 d 12 h.',
    )
  }
  let sum_s = 0
  for (const i of given) {
    const amount = amounts[i]!
    if (i < 2) {
      return refused(
        'calendar-duration',
        start,
        body.length,
        'The length of months and years depends on the calendar.',
        'Write it in days, as in P30D or 30 d.',
      )
    }
    if (i !== last && /[.,]/.test(amount)) {
      return refused(
        'bad-duration',
        start,
        body.length,
        'Only the smallest part of a duration of ISO 8601 may have a fraction.',
        'Write it like PT1H30M.',
      )
    }
    sum_s += Number(amount.replace(',', '.')) * DESIGNATOR_S[i]!
  }
  return finite(sum_s, body, start)
}

/** Longer times are slips of the pen, and would not fit a calendar. */
const LONGEST_S = 100 * 366 * 86400

function finite(sum_s: number, body: string, start: number): Parsed<number> {
  if (sum_s <= LONGEST_S) return parsed(sum_s)
  return refused(
    'out-of-range',
    start,
    body.length,
    `${body.slice(0, 40)} is more than a hundred years.`,
    EXAMPLE,
  )
}
