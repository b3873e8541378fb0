import { fileSchema } from '../source-text/json-schema.ts'
import type { JsonSchema } from '../source-text/shape.ts'
import { vesselShape } from './vessel-shape.ts'

/** JSON Schema (draft 2020-12) of a vessel, made from the same tables as the reader. */
export const vesselSchema: JsonSchema = fileSchema(
  'Vessel',
  'A container with its cabinet and surroundings, its appliances and its instruments.',
  vesselShape.schema,
)
