import { fileSchema } from '../source-text/json-schema.ts'
import type { JsonSchema } from '../source-text/shape.ts'
import { conditionSchema } from './condition-shape.ts'
import { planShape } from './plan-shape.ts'

/** JSON Schema (draft 2020-12) of a plan, made from the same tables as the reader. */
export const planSchema: JsonSchema = fileSchema(
  'Plan',
  'Stages of a fermentation or of a brewing day on the hot side, and what moves the batch from one to the next.',
  planShape.schema,
  { condition: conditionSchema() },
)
