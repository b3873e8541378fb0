/** What a word in the text means, from the JSON Schema of the file. */
import { propertiesOf, type SchemaPath, schemasAt } from '@attemper/core/source-text/schema-walk.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import { contextAt } from './text-context.ts'

export interface Explanation {
  readonly from: number
  readonly to: number
  readonly key: string
  readonly meaning: string
  /** How it is written: "18 °C, 64 °F"; "one of ask, go on, hold"; empty when there is nothing to say. */
  readonly written: readonly string[]
}

const KEY_IN_LINE = /(?:^|[\s{,-])("[^"\n]+"|[A-Za-z][A-Za-z ]*?)\s*:(?=\s|$)/g

/** Of the key at an offset, or of the key whose value stands there; null when there is nothing to say. */
export function explanationAt(text: string, at: number, schema: JsonSchema): Explanation | null {
  const start = text.lastIndexOf('\n', at - 1) + 1
  const end = text.indexOf('\n', start)
  const line = text.slice(start, end === -1 ? text.length : end)
  const keys = [...line.matchAll(KEY_IN_LINE)].map(match => {
    const from = start + match.index + match[0].indexOf(match[1]!)
    return { from, to: from + match[1]!.length, behind: start + match.index + match[0].length }
  })
  const meant = keys.findLast(({ from }) => from <= at)
  if (meant === undefined || /^\s*#/.test(line)) return null
  const context = contextAt(`${text.slice(0, meant.behind)} `, meant.behind + 1)
  if (context === null || context.expects === 'key') return null
  return explain(schema, context.path, meant.from, meant.to)
}

function explain(schema: JsonSchema, path: SchemaPath, from: number, to: number): Explanation | null {
  const key = path.at(-1)
  if (typeof key !== 'string') return null
  const around = schemasAt(schema, path.slice(0, -1))
  const own = around.map(each => propertiesOf(each)[key]).find(each => each !== undefined)
  if (own === undefined) return null
  const written = schemasAt(schema, path).flatMap(waysToWrite)
  return { from, to, key, meaning: String(own.description ?? ''), written: [...new Set(written)] }
}

function waysToWrite(schema: JsonSchema): readonly string[] {
  if (Array.isArray(schema.examples)) {
    const title = typeof schema.title === 'string' ? `${schema.title}: ` : ''
    return [`${title}${schema.examples.join(', ')}`]
  }
  if (Array.isArray(schema.enum)) return [`one of: ${schema.enum.join(', ')}`]
  if (schema.const !== undefined) return [String(schema.const)]
  if (schema.type === 'boolean') return ['true or false']
  if (schema.type === 'object') {
    const keys = Object.keys(propertiesOf(schema))
    return [keys.length === 0 ? 'names of your own, and below each what it is' : `keys: ${keys.join(', ')}`]
  }
  if (schema.type === 'array') return ['a list']
  return typeof schema.title === 'string' ? [schema.title] : []
}
