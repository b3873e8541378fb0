import type { Finding } from '@attemper/core/finding.ts'
import { type TSchema, Type } from 'typebox'
import { ERRORS, type ErrorCode, kindOf } from './errors.ts'

/** Times in answers are milliseconds since 1970-01-01T00:00 UTC on the cellar's clock, in members that end in `_ms`. */
export const Moment_ms = Type.Number({ description: 'Milliseconds since 1970-01-01T00:00 UTC.' })

export const MomentText = Type.String({
  description: 'A moment like 2026-11-24T20:15:00Z or 2026-11-24T21:15+01:00, or milliseconds since 1970.',
  minLength: 1,
  maxLength: 40,
})

export const Name = Type.String({
  minLength: 1,
  maxLength: 200,
  description: 'A name of 1 to 200 characters.',
})

export const BatchId = Type.Object({
  id: Type.String({ minLength: 1, maxLength: 200, description: 'The batch, as GET /batches lists it.' }),
})

export const FindingSchema = Type.Unsafe<Finding>(
  Type.Object(
    {
      severity: Type.Enum(['error', 'warning', 'note']),
      code: Type.String(),
      file: Type.String(),
      line: Type.Integer({ minimum: 1 }),
      column: Type.Integer({ minimum: 1 }),
      length: Type.Integer({ minimum: 1 }),
      message: Type.String(),
      cure: Type.String(),
    },
    { description: 'What the proof-reader says, with its place in the text.' },
  ),
)

export const Findings = Type.Array(FindingSchema, { description: 'What the proof-reader says.' })

/** The body of an action that answers nothing but that it was done. */
export const Done = Type.Object({ done: Type.Literal(true) }, { description: 'It was done and recorded.' })

export const DONE = { done: true } as const

/** A good answer that is no JSON, but a text of this kind. */
export function textAnswer(kind: string, description: string) {
  const [bare = kind] = kind.split(';')
  return Type.Unsafe<string>({ description, content: { [bare]: { schema: Type.String() } } })
}

const ALWAYS: readonly ErrorCode[] = [
  'wrong-request',
  'sign-in',
  'wrong-token',
  'foreign-host',
  'foreign-origin',
  'not-allowed',
  'wrong-shape',
  'too-many',
  'internal',
]

const WITH_BODY: readonly ErrorCode[] = [
  'wrong-utf8',
  'wrong-json',
  'too-deep',
  'not-from-here',
  'too-large',
  'wrong-content-type',
  'storage',
]

/** Answers for what may go wrong at a route that only looks: by status, with the codes in the description. */
export function problemsOfLook(...codes: readonly ErrorCode[]) {
  return problems([...ALWAYS, ...codes])
}

/** The same for a route that changes something. */
export function problemsOfChange(...codes: readonly ErrorCode[]) {
  return problems([...ALWAYS, ...WITH_BODY, ...codes])
}

function problems(codes: readonly ErrorCode[]): Record<string, TSchema> {
  const answers: Record<string, TSchema> = {}
  for (const status of new Set(codes.map(code => kindOf(code).status))) {
    const own = [...new Set(codes)].filter(code => kindOf(code).status === status)
    answers[status] = problemSchema(own, own.map(code => `${code}: ${ERRORS[code].means}`).join(' '))
  }
  return answers
}

function problemSchema(codes: readonly ErrorCode[], description: string): TSchema {
  return Type.Object(
    {
      code: Type.Enum([...codes], { description: 'Stable; what it means does not change.' }),
      message: Type.String({ description: 'What is wrong and where, as one sentence.' }),
      cure: Type.Optional(Type.String({ description: 'What would be right.' })),
      findings: Type.Optional(Findings),
    },
    { description },
  )
}
