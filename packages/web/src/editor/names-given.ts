import { propertiesOf } from '@attemper/core/source-text/schema-walk.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'

/**
 * The names of stages, tasks or instruments that a text gives, whatever is wrong with the rest of it. Behind which keys
 * they stand is told by the schema.
 */
export function namesGiven(text: string, schema: JsonSchema, what: string): readonly string[] {
  const keys = keysThatName(schema, what)
  if (keys.length === 0) return []
  const alternatives = keys.map(key => key.replace(/ /g, '\\s+')).join('|')
  const pattern = new RegExp(
    `(?:^|[\\n{,]|- )[ \\t]*(?:${alternatives}):[ \\t]+("[^"\\n]*"|'[^'\\n]*'|[^\\s"'{[#][^\\n,}#]*)`,
    'g',
  )
  const names = [...text.matchAll(pattern)].map(([, name]) => name!.trim().replace(/^(["'])(.*)\1$/, '$2'))
  return [...new Set(names)]
}

function keysThatName(schema: JsonSchema, what: string): readonly string[] {
  const title = `new name of a ${what}`
  const keys = new Set<string>()
  const visit = (each: JsonSchema): void => {
    for (const [key, child] of Object.entries(propertiesOf(each))) {
      if (child.title === title) keys.add(key)
      visit(child)
    }
    for (const child of (each.anyOf ?? []) as readonly JsonSchema[]) visit(child)
    if (each.items !== undefined) visit(each.items as JsonSchema)
  }
  visit(schema)
  return [...keys]
}
