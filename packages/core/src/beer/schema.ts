import { fileSchema } from '../source-text/json-schema.ts'
import type { JsonSchema } from '../source-text/shape.ts'
import { beerShape } from './beer-shape.ts'

/** JSON Schema (draft 2020-12) of a beer, made from the same tables as the reader. */
export const beerSchema: JsonSchema = fileSchema(
  'Beer',
  'What is in the vessel, and who looks after it.',
  beerShape.schema,
)
