import { parseLocalDateTime, parseTimeOfDay, type WrittenDateTime } from '../units/local-time.ts'
import { nearestWord } from '../units/nearest-word.ts'
import { parseQuantity, parseUncertain, type UncertainValue } from '../units/parse.ts'
import { type Parsed, parsed, refused } from '../units/problem.ts'
import { KINDS, type QuantityKind } from '../units/quantity.ts'
import { expectScalar, type Shape, scalarShape } from './shape.ts'

/** Bounds of a value in the base unit of its kind; `said` are the same bounds in a brewer's words. */
export interface Bounds {
  readonly least?: number
  readonly greatest?: number
  /** Also refuses the least value itself. */
  readonly above?: boolean
  readonly said?: string
}

/** Not negative, unless told otherwise: most quantities have no negative values. */
const NOT_NEGATIVE: Bounds = { least: 0 }
const SIGNED: ReadonlySet<QuantityKind> = new Set(['temperature', 'gravity'])

function boundsOf(kind: QuantityKind, bounds: Bounds | 'signed' | undefined): Bounds {
  if (bounds === 'signed') return {}
  return bounds ?? (SIGNED.has(kind) ? {} : NOT_NEGATIVE)
}

function checkBounds(text: string, value: number, kind: QuantityKind, bounds: Bounds): Parsed<number> {
  const { least = Number.NEGATIVE_INFINITY, greatest = Number.POSITIVE_INFINITY, above = false } = bounds
  if (value >= least && value <= greatest && !(above && value <= least)) return parsed(value)
  const start = text.length - text.trimStart().length
  const body = text.trim()
  const isNegative = value < 0 && least === 0
  return refused(
    isNegative ? 'negative' : 'out-of-range',
    start,
    body.length,
    isNegative ? `“${body}” is negative.` : `“${body}” is out of range.`,
    bounds.said ?? `Write a positive value, for example ${KINDS[kind].examples[0]}.`,
  )
}

/**
 * JSON Schema of a quantity: a string with its unit, or a number where that can be understood. Its title is the kind of
 * the quantity, so that an editor knows which units can stand behind the number.
 */
function quantitySchema(kind: QuantityKind): Readonly<Record<string, unknown>> {
  const { bare, examples } = KINDS[kind]
  if (kind === 'number') return { title: kind, type: 'number', examples: examples.map(Number) }
  if (bare === 'refused') return { title: kind, type: 'string', examples }
  return bare === 'zero'
    ? { title: kind, anyOf: [{ type: 'string' }, { const: 0 }], examples }
    : { title: kind, type: ['string', 'number'], examples }
}

export function quantity(kind: QuantityKind, bounds?: Bounds | 'signed'): Shape<number> {
  const within = boundsOf(kind, bounds)
  return scalarShape(
    text => {
      const result = parseQuantity(text, kind)
      return result.ok ? checkBounds(text, result.value, kind, within) : result
    },
    KINDS[kind].examples[0]!,
    quantitySchema(kind),
  )
}

/** A quantity with an optional standard deviation, "30 W ± 5 %". */
export function uncertain(kind: QuantityKind, bounds?: Bounds | 'signed'): Shape<UncertainValue> {
  const within = boundsOf(kind, bounds)
  const schema =
    kind === 'number'
      ? { title: kind, type: ['string', 'number'], examples: ['1 ± 0.1'] }
      : quantitySchema(kind)
  return scalarShape<UncertainValue>(
    text => {
      const result = parseUncertain(text, kind)
      if (!result.ok) return result
      const checked = checkBounds(text, result.value.value, kind, within)
      return checked.ok ? result : checked
    },
    KINDS[kind].examples[0]!,
    schema,
  )
}

export const localDateTime: Shape<WrittenDateTime> = scalarShape(parseLocalDateTime, '2026-12-01T18:00', {
  type: 'string',
  examples: ['2026-12-01T18:00'],
})

export const timeOfDay: Shape<number> = scalarShape(parseTimeOfDay, '22:30', {
  type: 'string',
  examples: ['22:30'],
})

const FLAGS: Readonly<Record<string, boolean>> = { true: true, yes: true, false: false, no: false }

/** What a text means as a yes or no; undefined when it is neither. */
export function flagOf(text: string): boolean | undefined {
  const word = text.trim().toLowerCase()
  return Object.hasOwn(FLAGS, word) ? FLAGS[word] : undefined
}

export const flag: Shape<boolean> = scalarShape<boolean>(
  text => {
    const value = flagOf(text)
    return value === undefined
      ? refused(
          'not-a-choice',
          0,
          text.length,
          `“${text.slice(0, 40)}” is neither true nor false.`,
          'Write true or false.',
        )
      : parsed(value)
  },
  'true',
  { type: 'boolean' },
)

/** One of some words. */
export function choice<const W extends string>(...words: readonly W[]): Shape<W> {
  return {
    schema: { enum: words },
    read: (node, reading) => {
      const list = words.length > 1 ? `${words.slice(0, -1).join(', ')} or ${words.at(-1)}` : words[0]!
      const scalar = expectScalar(node, reading, `Write ${list}.`)
      if (scalar === undefined) return undefined
      const text = scalar.text.trim().replace(/\s+/g, ' ')
      const found = words.find(word => word === text)
      if (found !== undefined) return found
      const near = nearestWord(text, words)
      reading.report(
        'not-a-choice',
        scalar.place,
        text === '' ? 'Here should stand a word.' : `“${text.slice(0, 40)}” cannot stand here.`,
        near === null ? `Write ${list}.` : `Did you mean “${near}”? It can be ${list}.`,
      )
      return undefined
    },
  }
}

const LONGEST_NAME = 100
const LONGEST_TEXT = 1000

function textShape(longest: number, what: string): Shape<string> {
  return {
    schema: { type: ['string', 'number'], minLength: 1, maxLength: longest },
    read: (node, reading) => {
      const scalar = expectScalar(
        node,
        reading,
        `Write ${what}, in quotation marks if it holds special characters.`,
      )
      if (scalar === undefined) return undefined
      const text = scalar.text.trim().replace(/\s+/g, ' ')
      if (text !== '' && text.length <= longest) return text
      reading.report(
        text === '' ? 'missing-value' : 'bad-name',
        scalar.place,
        text === '' ? `Here should stand ${what}.` : `This is longer than ${longest} characters.`,
        text === '' ? `Write ${what}.` : 'Write it shorter.',
      )
      return undefined
    },
  }
}

/** The name of a stage, an instrument and so on. White space within counts as one space. */
export const name: Shape<string> = textShape(LONGEST_NAME, 'a name')
/** A question or an instruction in the brewer's own words. */
export const words: Shape<string> = textShape(LONGEST_TEXT, 'a text')

/** What can be named at one place of a file and referred to from another. */
export type Nameable = 'stage' | 'task' | 'instrument'

/**
 * A name that is given here. The title in its schema tells an editor so, and where it may be referred to:
 * see `nameOf`.
 */
export function newName(nameable: Nameable): Shape<string> {
  return { ...name, schema: { ...name.schema, title: `new name of a ${nameable}` } }
}

/** A name that must be given elsewhere in the file (`newName`); that it is, is checked when all of it has been read. */
export function nameOf(nameable: Nameable): Shape<string> {
  return { ...name, schema: { ...name.schema, title: `name of a ${nameable}` } }
}
