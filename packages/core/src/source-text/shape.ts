import type { Place } from '../place.ts'
import type { Parsed } from '../units/problem.ts'
import type { Reading } from './reading.ts'
import type { SourceNode, SourceScalar } from './source-node.ts'

/** A JSON Schema, draft 2020-12, as plain data. */
export type JsonSchema = Readonly<Record<string, unknown>>

/**
 * What may stand in one place of a file: how it is read, and the JSON Schema that says the same to an editor. Both come
 * from one object, so that they cannot drift apart. `read` gives undefined after it has reported what is wrong.
 */
export interface Shape<T> {
  readonly read: (node: SourceNode, reading: Reading) => T | undefined
  readonly schema: JsonSchema
}

/** A value read from a scalar, with its place. */
export interface Placed<T> {
  readonly value: T
  readonly place: Place
}

/** A shape that also says where its value stood. */
export function placed<T>(shape: Shape<T>): Shape<Placed<T>> {
  return {
    schema: shape.schema,
    read: (node, reading) => {
      const value = shape.read(node, reading)
      return value === undefined ? undefined : { value, place: node.place }
    },
  }
}

/** The scalar, or undefined after having reported that something else stands there. */
export function expectScalar(node: SourceNode, reading: Reading, cure: string): SourceScalar | undefined {
  if (node.kind === 'scalar') return node
  const found = node.kind === 'list' ? 'A list' : 'A mapping'
  reading.report('wrong-type', node.place, `${found} stands where a single value belongs.`, cure)
  return undefined
}

/** Where a part of a scalar stands; the whole scalar when it was written with escapes or folded. */
export function placeWithin(node: SourceScalar, offset: number, length: number, reading: Reading): Place {
  if (node.verbatimAt === null) return node.place
  return reading.placeAt(node.verbatimAt + offset, length)
}

/** A shape from a parser of a scalar's text. */
export function scalarShape<T>(
  parse: (text: string) => Parsed<T>,
  example: string,
  schema: JsonSchema,
): Shape<T> {
  return {
    schema,
    read: (node, reading) => {
      const scalar = expectScalar(node, reading, `Write it like ${example}.`)
      if (scalar === undefined) return undefined
      const result = parse(scalar.text)
      if (result.ok) return result.value
      const { code, offset, length, message, cure } = result.problem
      reading.report(code, placeWithin(scalar, offset, length, reading), message, cure)
      return undefined
    },
  }
}
