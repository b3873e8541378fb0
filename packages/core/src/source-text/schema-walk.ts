/** Looks up in a JSON Schema what may stand in a place of a file; knows the words that fileSchema and the shapes use. */
import { normalKey } from './record.ts'
import type { JsonSchema } from './shape.ts'
import type { SourceNode, SourceScalar } from './source-node.ts'

/** Stands in a path for any item of a list. */
export const ITEM = Symbol('item')

export type SchemaPath = readonly (string | typeof ITEM)[]

/**
 * Everything that may stand at a path: one schema for each alternative, `$ref` and `anyOf` resolved. A description that
 * stands beside them goes with each that has none of its own. Empty when nothing may stand there.
 */
export function schemasAt(root: JsonSchema, path: SchemaPath): readonly JsonSchema[] {
  return path.reduce<readonly JsonSchema[]>(
    (schemas, step) => schemas.flatMap(schema => alternatives(root, below(schema, step))),
    alternatives(root, root),
  )
}

/** The keys of a mapping, in their order, with what may stand behind each. */
export function propertiesOf(schema: JsonSchema): Readonly<Record<string, JsonSchema>> {
  return (schema.properties ?? {}) as Readonly<Record<string, JsonSchema>>
}

/** Keys of a mapping of which exactly one must stand there; empty when there is no such rule. */
export function exclusiveKeys(schema: JsonSchema): readonly string[] {
  return ((schema.oneOf ?? []) as readonly { readonly required: readonly string[] }[]).flatMap(
    ({ required }) => required,
  )
}

export interface PlacedScalar {
  readonly scalar: SourceScalar
  /** Keys and indices from the root of the file. */
  readonly path: readonly (string | number)[]
  readonly schemas: readonly JsonSchema[]
}

/** All scalars of a tree that has been read, each with what may stand in its place. */
export function scalarsOf(
  node: SourceNode,
  root: JsonSchema,
  at: PlacedScalar['path'] = [],
): readonly PlacedScalar[] {
  switch (node.kind) {
    case 'scalar': {
      const path = at.map(step => (typeof step === 'number' ? ITEM : step))
      return [{ scalar: node, path: at, schemas: schemasAt(root, path) }]
    }
    case 'list':
      return node.items.flatMap((item, index) => scalarsOf(item, root, [...at, index]))
    case 'mapping':
      return node.entries.flatMap(({ key, value }) => scalarsOf(value, root, [...at, normalKey(key)]))
  }
}

function below(schema: JsonSchema, step: string | typeof ITEM): JsonSchema | undefined {
  if (step === ITEM) return schema.items as JsonSchema | undefined
  const properties = propertiesOf(schema)
  if (Object.hasOwn(properties, step)) return properties[step]
  // Where the names are the writer's own, the same stands behind each.
  const { additionalProperties } = schema
  return typeof additionalProperties === 'object' && additionalProperties !== null
    ? (additionalProperties as JsonSchema)
    : undefined
}

function alternatives(root: JsonSchema, schema: JsonSchema | undefined): readonly JsonSchema[] {
  if (schema === undefined) return []
  const { $ref, anyOf, ...own } = schema
  if (typeof $ref === 'string') {
    const name = $ref.split('/').at(-1)!
    const definition = (root.$defs as Readonly<Record<string, JsonSchema>>)[name]
    return alternatives(root, definition === undefined ? own : { ...definition, ...own })
  }
  // A quantity has alternatives, too (a text or 0), but is one thing.
  if (!Array.isArray(anyOf) || own.title !== undefined) return [schema]
  return anyOf.flatMap(each => alternatives(root, { ...described(own), ...each }))
}

function described({ description }: JsonSchema): JsonSchema {
  return description === undefined ? {} : { description }
}
