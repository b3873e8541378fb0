import type { Place } from '../place.ts'
import { nearestWord } from '../units/nearest-word.ts'
import type { Reading } from './reading.ts'
import type { JsonSchema, Shape } from './shape.ts'
import type { SourceEntry, SourceMapping, SourceNode } from './source-node.ts'

/** One key of a mapping. */
export interface Field<T> {
  readonly shape: Shape<T>
  /** For the JSON Schema and the reference: what it means, in one or two sentences. */
  readonly doc: string
  readonly required: boolean
  /** What holds when it is left out, as the brewer would write it; with its source where it is a number. */
  readonly usual?: string
}

// biome-ignore lint/suspicious/noExplicitAny: the fields of a record have different types
export type Fields = Readonly<Record<string, Field<any>>>

/** What was read of a mapping: a missing key and a faulty value are both undefined; the fault has been reported. */
export interface ReadRecord<F extends Fields> {
  readonly values: { readonly [K in keyof F]?: F[K] extends Field<infer T> ? T : never }
  readonly keyPlaces: { readonly [K in keyof F]?: Place }
  readonly valuePlaces: { readonly [K in keyof F]?: Place }
  readonly place: Place
}

export interface RecordOptions {
  /** With its article: "a stage". */
  readonly called: string
  /** How one is written, for the cure when something else stands in its place. */
  readonly example: string
  /** Words that brewers are likely to write for a key, and the key. */
  readonly otherWords?: Readonly<Record<string, string>>
  /** Keys of the mapping around it, which slip in when they are indented too far. */
  readonly outerKeys?: readonly string[]
}

export function need<T>(shape: Shape<T>, doc: string): Field<T> {
  return { shape, doc, required: true }
}

export function may<T>(shape: Shape<T>, doc: string, usual?: string): Field<T> {
  return usual === undefined ? { shape, doc, required: false } : { shape, doc, required: false, usual }
}

/** A mapping with known keys. Every key must be known, and every required one be there. */
export function record<F extends Fields>(fields: F, options: RecordOptions): Shape<ReadRecord<F>> {
  return {
    schema: recordSchema(fields),
    read: (node, reading) => {
      const mapping = expectMapping(node, reading, options)
      return mapping === undefined ? undefined : readFields(mapping, fields, options, reading)
    },
  }
}

export function recordSchema(fields: Fields): JsonSchema {
  const required = Object.keys(fields).filter(key => fields[key]!.required)
  const properties = Object.fromEntries(
    Object.entries(fields).map(([key, field]) => [key, describedSchema(field)]),
  )
  return {
    type: 'object',
    properties,
    ...(required.length > 0 ? { required } : {}),
    additionalProperties: false,
  }
}

export function describedSchema(field: Field<unknown>): JsonSchema {
  const usual = field.usual === undefined ? '' : ` Left out: ${field.usual}.`
  return { description: `${field.doc}${usual}`, ...field.shape.schema }
}

export function expectMapping(
  node: SourceNode,
  reading: Reading,
  options: RecordOptions,
): SourceMapping | undefined {
  if (node.kind === 'mapping') return node
  const isEmpty = node.kind === 'scalar' && node.text.trim() === ''
  reading.report(
    isEmpty ? 'missing-value' : 'wrong-type',
    node.place,
    isEmpty
      ? `Here should stand ${options.called}.`
      : `A ${node.kind === 'list' ? 'list' : 'single value'} stands here instead of ${options.called}.`,
    `Write it like ${options.example}.`,
  )
  return undefined
}

function readFields<F extends Fields>(
  mapping: SourceMapping,
  fields: F,
  options: RecordOptions,
  reading: Reading,
): ReadRecord<F> {
  const values: Record<string, unknown> = {}
  const keyPlaces: Record<string, Place> = {}
  const valuePlaces: Record<string, Place> = {}
  const misspelt = new Set<string | null>()
  for (const entry of mapping.entries) {
    const key = normalKey(entry.key)
    const field = Object.hasOwn(fields, key) ? fields[key] : undefined
    if (field === undefined) {
      misspelt.add(reportUnknownKey(entry, Object.keys(fields), options, reading))
      continue
    }
    keyPlaces[key] = entry.keyPlace
    valuePlaces[key] = entry.value.place
    const value = field.shape.read(entry.value, reading)
    if (value !== undefined) values[key] = value
  }
  for (const [key, field] of Object.entries(fields)) {
    if (!field.required || keyPlaces[key] !== undefined || misspelt.has(key)) continue
    reading.report(
      'missing-key',
      mapping.place,
      `${capital(options.called)} needs “${key}”.`,
      `Add “${key}:”, as in ${options.example}.`,
    )
  }
  return { values, keyPlaces, valuePlaces, place: mapping.place } as unknown as ReadRecord<F>
}

/** White space within a key counts as one space. */
export function normalKey(key: string): string {
  return key.trim().replace(/\s+/g, ' ')
}

/** Reports it, and returns the key that was probably meant. */
export function reportUnknownKey(
  entry: SourceEntry,
  known: readonly string[],
  options: RecordOptions,
  reading: Reading,
): string | null {
  const key = normalKey(entry.key)
  if (
    /^\d/.test(key) &&
    entry.value.kind === 'scalar' &&
    entry.value.text === '' &&
    commaBefore(entry, reading)
  ) {
    reading.report(
      'decimal-comma',
      entry.keyPlace,
      'A number has a decimal comma here.',
      'Write it with a point, as in 2.5 °C.',
    )
    return null
  }
  if (options.outerKeys?.includes(key)) {
    reading.report(
      'unknown-key',
      entry.keyPlace,
      `“${key}” stands too deep: it is no key of ${options.called}.`,
      'Indent it less, so that it belongs to what stands around.',
    )
    return null
  }
  const glued = known.find(each => key.startsWith(each) && /^\s*[:\s{[]/.test(key.slice(each.length)))
  if (glued !== undefined && isEmpty(entry)) {
    reading.report(
      'unknown-key',
      entry.keyPlace,
      `“${key.slice(0, 40)}” is no key of ${options.called}.`,
      `Put a colon and a space behind “${glued}”.`,
    )
    return glued
  }
  const others = options.otherWords ?? {}
  const lower = key.toLowerCase()
  const meant = Object.hasOwn(others, lower) ? others[lower]! : nearestWord(key, known)
  reading.report(
    'unknown-key',
    entry.keyPlace,
    key === '' ? 'Here a key is missing.' : `“${key.slice(0, 40)}” is no key of ${options.called}.`,
    meant === null ? `It can have: ${known.join(', ')}.` : `Did you mean “${meant}”?`,
  )
  return meant
}

function isEmpty({ value }: SourceEntry): boolean {
  return value.kind === 'scalar' && value.text === ''
}

/** In { lowest: 1,5 °C } YAML sees a key "5 °C" after a comma that stands between digits. */
function commaBefore(entry: SourceEntry, reading: Reading): boolean {
  const at = entry.keyPlace.offset
  return reading.text[at - 1] === ',' && /\d/.test(reading.text[at - 2] ?? '')
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
