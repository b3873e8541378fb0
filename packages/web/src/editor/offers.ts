/** What can be written at the cursor, from the JSON Schema of the file: keys, words, names that are given in it, units. */
import {
  exclusiveKeys,
  ITEM,
  propertiesOf,
  type SchemaPath,
  schemasAt,
} from '@attemper/core/source-text/schema-walk.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { KINDS, type QuantityKind } from '@attemper/core/units/quantity.ts'
import { namesGiven } from './names-given.ts'
import { contextAt } from './text-context.ts'

export interface Offer {
  readonly kind: 'key' | 'word' | 'name' | 'quantity'
  /** As it is shown. */
  readonly label: string
  /** What is put into the text; the cursor goes to the sign ‸ in it, or behind it. */
  readonly insert: string
  /** What it means, from the schema. */
  readonly meaning: string
  /** A key that must stand there and does not yet. */
  readonly isNeeded: boolean
}

export interface Offers {
  /** What stands there from this offset to the cursor is replaced. */
  readonly from: number
  readonly offers: readonly Offer[]
}

/** Where the cursor goes in an offer that is taken. */
export const CURSOR = '‸'

/** null when nothing can be offered there. */
export function offersAt(text: string, at: number, schema: JsonSchema, units: DisplayUnits): Offers | null {
  const context = contextAt(text, at)
  if (context === null) return null
  const { path, expects, inFlow, taken, indent, typed, from } = context
  const isItem = expects === 'item'
  const whole: SchemaPath = isItem ? [...path, ITEM] : path
  const here = schemasAt(schema, whole)
  const dash = isItem ? '- ' : ''
  const keys =
    expects === 'value'
      ? here.flatMap(each => bracesFor(schema, path, each))
      : here.flatMap(each => keysOf(schema, whole, each, taken, inFlow, indent, dash))
  const itemsBelow = expects === 'either' && !inFlow ? here.flatMap(each => dashFor(each)) : []
  const values = expects === 'key' ? [] : here.flatMap(each => valuesOf(each, typed, text, schema, units))
  const offers = withoutDoubles([
    ...itemsBelow,
    ...keys,
    ...values.map(each => ({ ...each, insert: dash + each.insert })),
  ])
  return offers.length === 0 ? null : { from, offers }
}

function keysOf(
  root: JsonSchema,
  path: SchemaPath,
  schema: JsonSchema,
  taken: readonly string[],
  inFlow: boolean,
  indent: number,
  dash: string,
): readonly Offer[] {
  const needed = (schema.required ?? []) as readonly string[]
  const exclusive = exclusiveKeys(schema)
  const isDecided = taken.some(key => exclusive.includes(key))
  return Object.entries(propertiesOf(schema))
    .filter(([key]) => !taken.includes(key) && !(isDecided && exclusive.includes(key)))
    .map(([key, child]): Offer => {
      const below = schemasAt(root, [...path, key])
      return {
        kind: 'key',
        label: key,
        insert: `${dash}${key}:${openingFor(below, inFlow, indent + dash.length)}`,
        meaning: String(child.description ?? ''),
        isNeeded: needed.includes(key),
      }
    })
    .toSorted((a, b) => Number(b.isNeeded) - Number(a.isNeeded))
}

/** What follows a key: the braces of a mapping, or the first dash of a list. */
function openingFor(below: readonly JsonSchema[], inFlow: boolean, indent: number): string {
  const [only, second] = below
  if (only === undefined || second !== undefined) return ' '
  if (only.type === 'array') return inFlow ? ` [ ${CURSOR} ]` : `\n${' '.repeat(indent + 2)}- ${CURSOR}`
  return only.type === 'object' ? ` { ${CURSOR} }` : ' '
}

/** A mapping as a value, on the same line. */
function bracesFor(root: JsonSchema, path: SchemaPath, schema: JsonSchema): readonly Offer[] {
  if (schema.type !== 'object') return []
  const [needed] = (schema.required ?? []) as readonly string[]
  const opening =
    needed === undefined ? '' : `${needed}:${openingFor(schemasAt(root, [...path, needed]), true, 0)}`
  const insert = opening.includes(CURSOR) ? `{ ${opening} }` : `{ ${opening}${CURSOR} }`
  const label = `{ ${needed ?? ''}${needed === undefined ? '' : ': '}… }`
  return [{ kind: 'word', label, insert, meaning: String(schema.description ?? ''), isNeeded: false }]
}

function dashFor(schema: JsonSchema): readonly Offer[] {
  if (schema.type !== 'array') return []
  const meaning = String(schema.description ?? '')
  return [{ kind: 'word', label: '- …', insert: `- ${CURSOR}`, meaning, isNeeded: false }]
}

function valuesOf(
  schema: JsonSchema,
  typed: string,
  text: string,
  root: JsonSchema,
  units: DisplayUnits,
): readonly Offer[] {
  const meaning = String(schema.description ?? '')
  const offer = (kind: Offer['kind'], label: string): Offer => ({
    kind,
    label,
    insert: label,
    meaning,
    isNeeded: false,
  })
  const title = String(schema.title ?? '')
  if (Object.hasOwn(KINDS, title)) {
    return quantitiesFor(title as QuantityKind, typed, schema, units).map(each => offer('quantity', each))
  }
  const named = /^name of an? (.+)$/.exec(title)
  if (named !== null) return namesGiven(text, root, named[1]!).map(each => offer('name', each))
  if (Array.isArray(schema.enum)) return schema.enum.map(each => offer('word', String(each)))
  if (schema.const !== undefined) return [offer('word', String(schema.const))]
  if (schema.type === 'boolean') return [offer('word', 'true'), offer('word', 'false')]
  return ((schema.examples ?? []) as readonly unknown[]).map(each => offer('word', String(each)))
}

const NUMBER = /^[-−–]?\d+(\.\d*)?/

/** The number that is there with each unit; the examples while there is none. */
function quantitiesFor(
  kind: QuantityKind,
  typed: string,
  schema: JsonSchema,
  units: DisplayUnits,
): readonly string[] {
  const number = NUMBER.exec(typed)?.[0]
  if (number === undefined) {
    return inBrewersOrder(((schema.examples ?? []) as readonly unknown[]).map(String), units)
  }
  return inBrewersOrder(
    KINDS[kind].units.map(({ symbol }) => `${number} ${symbol}`),
    units,
  )
}

/** Those in the brewer's own units first. */
function inBrewersOrder(texts: readonly string[], units: DisplayUnits): readonly string[] {
  const isOther = (text: string): boolean =>
    text.includes(units.temperature === 'C' ? '°F' : '°C') ||
    (units.gravity === 'SG' ? text.includes('°P') : /SG|point|^1\.\d/.test(text)) ||
    (units.volume === 'L' ? text.includes('gal') : /L$/.test(text))
  return texts.toSorted((a, b) => Number(isOther(a)) - Number(isOther(b)))
}

function withoutDoubles(offers: readonly Offer[]): readonly Offer[] {
  return offers.filter(({ insert }, index) => offers.findIndex(each => each.insert === insert) === index)
}
