import { fileSchema } from '@attemper/core/source-text/json-schema.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import { settingsShape } from './settings-shape.ts'

/** JSON Schema (draft 2020-12) of the settings, made from the same tables as the reader. */
export const notifySchema: JsonSchema = fileSchema(
  'Notify',
  'Who is told of alarms, by e-mail, webhook, MQTT or web push, from which priority, and when not.',
  settingsShape.schema,
)
