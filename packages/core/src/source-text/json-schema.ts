import type { JsonSchema } from './shape.ts'

/** A complete JSON Schema for one sort of file. */
export function fileSchema(
  title: string,
  description: string,
  root: JsonSchema,
  definitions: Readonly<Record<string, JsonSchema>> = {},
): JsonSchema {
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title,
    description,
    ...root,
    ...(Object.keys(definitions).length > 0 ? { $defs: definitions } : {}),
  }
}
