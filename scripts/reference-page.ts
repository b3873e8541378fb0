import type { JsonSchema } from '@attemper/core/source-text/shape.ts'

/** An object of the schema, which gets a section of its own. */
interface Section {
  readonly heading: string
  readonly schema: JsonSchema
}

/**
 * A page of the reference from a JSON Schema: a section for each mapping, a line for each of its keys. Mappings that
 * stand in several places are explained once, and linked to.
 */
export function referencePage(title: string, introduction: string, schema: JsonSchema): string {
  const sections = listSections(schema)
  const linkOf = new Map(sections.map(section => [sameness(section.schema), section.heading]))
  const body = sections.map(section => printSection(section, linkOf))
  return `# ${title}\n\n${introduction}\n\n${body.join('\n\n')}\n`
}

/** Depth first, so that a mapping is explained soon after the key that holds it; definitions come last. */
function listSections(root: JsonSchema): readonly Section[] {
  const sections: Section[] = []
  const seen = new Set<string>()
  const visit = (schema: JsonSchema, path: readonly string[]): void => {
    if (isMapping(schema)) {
      const key = sameness(schema)
      if (seen.has(key)) return
      seen.add(key)
      sections.push({ heading: path.join(', '), schema })
      const above = path[0] === TOP ? [] : path
      for (const [name, child] of Object.entries(properties(schema))) visit(child, [...above, name])
    }
    for (const child of alternatives(schema)) visit(child, path)
    const { items } = schema
    if (items !== undefined) visit(items as JsonSchema, path)
  }
  visit(root, [TOP])
  for (const [name, child] of Object.entries((root.$defs ?? {}) as Record<string, JsonSchema>))
    visit(child, [name])
  return sections
}

const TOP = 'At the top'

function isMapping(schema: JsonSchema): boolean {
  return schema.properties !== undefined
}

function properties(schema: JsonSchema): Readonly<Record<string, JsonSchema>> {
  return (schema.properties ?? {}) as Record<string, JsonSchema>
}

/** What may stand in one place; an empty list when there is only one thing. */
function alternatives(schema: JsonSchema): readonly JsonSchema[] {
  return (schema.anyOf ?? []) as JsonSchema[]
}

/** Two mappings with the same keys are the same, wherever they stand and whatever is said about the place. */
function sameness(schema: JsonSchema): string {
  const { properties: own, required, oneOf } = schema
  return JSON.stringify({ own, required, oneOf })
}

function printSection({ heading, schema }: Section, linkOf: ReadonlyMap<string, string>): string {
  const needed = (schema.required ?? []) as string[]
  const oneOf = ((schema.oneOf ?? []) as { readonly required: readonly string[] }[]).flatMap(
    each => each.required,
  )
  const description = heading === TOP || schema.description === undefined ? [] : [String(schema.description)]
  const choice = oneOf.length === 0 ? [] : [`Exactly one of ${oneOf.map(code).join(', ')}.`]
  const rows = Object.entries(properties(schema)).map(([key, child]) => {
    const need = needed.includes(key) ? ' (needed)' : ''
    return `| ${code(key)}${need} | ${cell(String(child.description ?? ''))} | ${cell(written(child, linkOf))} |`
  })
  const table = ['| key | meaning | written like |', '| --- | --- | --- |', ...rows].join('\n')
  return [`## ${heading}`, ...description, ...choice, table].join('\n\n')
}

/** What may stand behind a key, in as few words as possible. */
function written(schema: JsonSchema, linkOf: ReadonlyMap<string, string>): string {
  if (isMapping(schema)) {
    const heading = linkOf.get(sameness(schema))!
    return `see [${heading}](#${anchor(heading)})`
  }
  if (typeof schema.$ref === 'string') {
    const name = schema.$ref.split('/').at(-1)!
    return `a [${name}](#${anchor(name)})`
  }
  if (Array.isArray(schema.enum)) return schema.enum.map(each => code(String(each))).join(' or ')
  if (Array.isArray(schema.examples)) return schema.examples.map(each => code(String(each))).join(', ')
  if (schema.const !== undefined) return code(String(schema.const))
  const choices = alternatives(schema)
  if (choices.length > 0) return [...new Set(choices.map(each => written(each, linkOf)))].join(', or ')
  if (schema.items !== undefined) return `a list: ${written(schema.items as JsonSchema, linkOf)}`
  switch (schema.type) {
    case 'boolean':
      return '`true` or `false`'
    case 'null':
      return 'nothing'
    case 'number':
      return 'a number'
    default:
      return 'a text'
  }
}

/** As GitHub makes it from a heading. */
function anchor(heading: string): string {
  return heading
    .toLowerCase()
    .replace(/[^\p{L}\p{N} -]/gu, '')
    .replaceAll(' ', '-')
}

function code(text: string): string {
  return `\`${text}\``
}

function cell(text: string): string {
  return text.replaceAll('|', '\\|').replaceAll('\n', ' ')
}
