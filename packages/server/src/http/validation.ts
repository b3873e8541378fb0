import type { FastifySchemaCompiler } from 'fastify'
import type { TSchema } from 'typebox'
import { Compile } from 'typebox/compile'
import { Value } from 'typebox/value'
import { HttpProblem } from './errors.ts'

/** One fault as TypeBox (in the words of JSON Schema validators) tells it. */
interface SchemaFault {
  readonly keyword: string
  readonly instancePath: string
  readonly params: object
  readonly message: string
}

const PARTS: Readonly<Record<string, string>> = {
  body: 'the body',
  querystring: 'the query',
  params: 'the address',
  headers: 'the headers',
}

/** Checks a part of a request. What stands in an address is text, so it is turned into numbers where those are wanted. */
export const validatorCompiler: FastifySchemaCompiler<TSchema> = ({ schema, httpPart }) => {
  const check = Compile(schema)
  const part = PARTS[httpPart ?? 'body'] ?? 'the request'
  return (sent: unknown) => {
    const value = httpPart === 'body' || isEmpty(sent) ? sent : Value.Convert(schema, sent)
    if (check.Check(value)) return { value }
    const faults = check.Errors(value) as readonly SchemaFault[]
    return { error: problemOf(schema, faults, part) }
  }
}

/** Most addresses carry no query. */
function isEmpty(sent: unknown): boolean {
  return typeof sent === 'object' && sent !== null && Object.keys(sent).length === 0
}

function problemOf(schema: TSchema, faults: readonly SchemaFault[], part: string): HttpProblem {
  // A member that must not be there is told twice; the second time with its name.
  const fault = faults.find(one => one.keyword !== 'boolean') ?? faults[0]
  if (fault === undefined) return new HttpProblem('wrong-shape')
  const where = fault.instancePath === '' ? part : `${fault.instancePath} in ${part}`
  const message = `${capital(where)} ${sayFault(fault)}.`
  return new HttpProblem('wrong-shape', message, { cure: sayCure(schema, fault) })
}

const TYPES: Readonly<Record<string, string>> = {
  object: 'an object',
  array: 'an array',
  string: 'a text',
  integer: 'a whole number',
  number: 'a number',
  boolean: 'true or false',
  null: 'null',
}

function sayFault({ keyword, params, message }: SchemaFault): string {
  const {
    type,
    requiredProperties,
    additionalProperties,
    allowedValues,
    limit,
  }: {
    type?: string | readonly string[]
    requiredProperties?: readonly string[]
    additionalProperties?: readonly string[]
    allowedValues?: readonly unknown[]
    limit?: number
  } = params
  switch (keyword) {
    case 'type':
      return `must be ${[type ?? []]
        .flat()
        .map(name => TYPES[name] ?? name)
        .join(' or ')}`
    case 'required':
      return `lacks ${list(requiredProperties ?? [])}`
    case 'additionalProperties':
      return `holds ${list((additionalProperties ?? []).map(shorten))}, which is not known here`
    case 'enum':
      return `must be one of ${list((allowedValues ?? []).map(String))}`
    case 'minimum':
      return `must be at least ${limit}`
    case 'maximum':
      return `must be at most ${limit}`
    case 'minLength':
      return `must have at least ${count(limit ?? 1, 'character')}`
    case 'maxLength':
      return `must have at most ${count(limit ?? 1, 'character')}`
    default:
      return message
  }
}

/** What the schema says about the place, in its own description. */
function sayCure(schema: TSchema, { keyword, instancePath, params }: SchemaFault): string {
  if (keyword === 'additionalProperties') {
    return `Known are: ${list(Object.keys(membersOf(schemaAt(schema, instancePath))))}.`
  }
  const [lacking] = (params as { requiredProperties?: readonly string[] }).requiredProperties ?? []
  const place = lacking === undefined ? instancePath : `${instancePath}/${lacking}`
  const found = schemaAt(schema, place)
  return found?.description ?? 'See /openapi.json for what is expected here.'
}

interface LooseSchema {
  readonly description?: string
  readonly properties?: Readonly<Record<string, LooseSchema>>
  readonly items?: LooseSchema
}

function schemaAt(schema: LooseSchema, pointer: string): LooseSchema | undefined {
  let at: LooseSchema | undefined = schema
  for (const name of pointer.split('/').slice(1)) {
    const members = membersOf(at)
    const key = name.replaceAll('~1', '/').replaceAll('~0', '~')
    at = Object.hasOwn(members, key) ? members[key] : at?.items
  }
  return at
}

function membersOf(schema: LooseSchema | undefined): Readonly<Record<string, LooseSchema>> {
  return schema?.properties ?? {}
}

function list(names: readonly string[]): string {
  return names.map(name => `“${name}”`).join(', ')
}

function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? '' : 's'}`
}

function shorten(text: string): string {
  return text.length > 40 ? `${text.slice(0, 40)}…` : text
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
