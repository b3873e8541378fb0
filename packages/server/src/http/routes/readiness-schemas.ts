import type { CheckCode } from '@attemper/core/readiness/check.ts'
import { Type } from 'typebox'
import { Findings, Moment_ms, Name } from '../schemas.ts'

const CODES: readonly CheckCode[] = [
  'vessel-free',
  'beer-probe-heard',
  'instruments-heard',
  'temperatures-agree',
  'pitching-temperature',
  'float-in-wort',
  'calibrations-in-date',
  'appliances-reachable',
  'records-kept',
]

export const Check = Type.Object({
  code: Type.Enum([...CODES], { description: 'Stable; what does not concern the vessel is left out.' }),
  title: Type.String({ description: 'What should be so, in a few words.' }),
  state: Type.Enum(['ok', 'not yet', 'unknown', 'warning'], {
    description:
      'not yet: it will be once somebody has done something. unknown: nobody can tell. warning: a batch could begin, but something is not as it should be.',
  }),
  sentence: Type.String({ description: 'How it is now, and what would be right.' }),
})

export const Readiness = Type.Object(
  {
    vessel: Name,
    now_ms: Moment_ms,
    ready: Type.Boolean({ description: 'No check says “not yet”. A batch can be started all the same.' }),
    sentence: Type.String({ description: 'All of it, to be read out over the telephone.' }),
    checks: Type.Array(Check, { description: 'In the order in which one would go round and look.' }),
    findings: Findings,
  },
  { description: 'How the vessel is now.' },
)

export const ReadinessFor = Type.Object(
  {
    beer: Type.Optional(Type.String({ minLength: 1, description: 'The text of the beer file.' })),
    plan: Type.Optional(
      Type.String({ minLength: 1, description: 'The text of the plan; with a beer, it is proof-read.' }),
    ),
  },
  { additionalProperties: false },
)

export const ReadingUnits = Type.Object({
  temperature: Type.Optional(Type.Enum(['C', 'F'], { description: 'Of the sentences: “C” (usual) or “F”.' })),
  gravity: Type.Optional(Type.Enum(['SG', 'P'], { description: 'Of the sentences: “SG” (usual) or “P”.' })),
})
