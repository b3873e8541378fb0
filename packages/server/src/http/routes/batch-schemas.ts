import type { ApplianceLink } from '@attemper/core/batch/appliance-link.ts'
import type { Ending } from '@attemper/core/batch/batch-sentence.ts'
import type { Doubt } from '@attemper/core/batch/doubts.ts'
import type { NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { Measured } from '@attemper/core/batch/measured.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import { Type } from 'typebox'
import { Findings, Moment_ms, MomentText, Name } from '../schemas.ts'

export const Batch = Type.Object(
  {
    id: Type.String(),
    vessel: Name,
    name: Name,
    planText: Type.String({ description: 'The plan as it is followed now.' }),
    vesselText: Type.String({ description: 'The vessel file at the start.' }),
    beerText: Type.String({ description: 'The beer file at the start.' }),
    localOffset_s: Type.Number({ description: 'Local time minus UTC, in seconds.' }),
    started_ms: Moment_ms,
    ended_ms: Type.Union([Moment_ms, Type.Null()], { description: 'null: it goes on.' }),
  },
  { description: 'What a batch began with.' },
)

export const ListedBatch = Type.Object({
  ...Batch.properties,
  unkept: Type.Union([Type.String(), Type.Null()], {
    description:
      'Why nobody looks after it: it could not be taken up when the cellar started. null: somebody does, or it is over.',
  }),
})

const Question = Type.Object({
  id: Type.Integer({ description: 'Give it back with the answer.' }),
  about: Type.Enum(['go on', 'branch', 'late', 'unknown', 'task', 'no response', 'limit']),
  stage: Type.String(),
  text: Type.String({ description: 'The words of the plan.' }),
  subject: Type.String(),
})

const Link = Type.Unsafe<ApplianceLink | null>(
  Type.Union(
    [
      Type.Object(
        {
          appliance: Type.String(),
          state: Type.Enum(['told', 'confirmed', 'refused', 'unheard', 'unknown']),
          since_s: Type.Number(),
        },
        { additionalProperties: true },
      ),
      Type.Null(),
    ],
    {
      description:
        'Whether it has confirmed what it was told, how (`by`) or why not (`problem`), since when. null: nobody switches it through a door, or the batch has ended.',
    },
  ),
)

const Appliance = Type.Union(
  [
    Type.Object({
      on: Type.Boolean({ description: 'What it is told. Whether it does it: `link`.' }),
      why: Type.String(),
      link: Link,
    }),
    Type.Null(),
  ],
  {
    description: 'null: the vessel has none, or leaves it to its thermostat.',
  },
)

const Thermostat = Type.Union(
  [
    Type.Object({
      target_C: Type.Union([Type.Number(), Type.Null()], { description: 'What it is set to. null: off.' }),
      why: Type.String(),
      link: Link,
    }),
    Type.Null(),
  ],
  { description: 'It switches heater and cooler by itself. null: the vessel has none.' },
)

const NumberOrNull = (description: string) =>
  Type.Union([Type.Number(), Type.Null()], { description: `${description} null: unknown.` })

const Latest = (what: string) =>
  Type.Unsafe<Measured | null>(
    Type.Union(
      [
        Type.Object({
          value: Type.Number(),
          instrument: Type.String(),
          byHand: Type.Boolean(),
          at_s: Type.Number(),
          isOld: Type.Boolean({ description: 'Older than its instrument should let it get.' }),
          isBelieved: Type.Boolean({ description: 'The engine goes by it.' }),
        }),
        Type.Null(),
      ],
      { description: `${what}, believed or not, with its age. null: never heard.` },
    ),
  )

const Doubts = Type.Unsafe<readonly Doubt[]>(
  Type.Array(Type.Object({ kind: Type.String() }, { additionalProperties: true }), {
    description:
      'Why it can not be said that all is well, the most urgent first; told apart by `kind`. Empty: it can, or the batch has ended.',
  }),
)

const HowEnded = Type.Unsafe<Ending | null>(
  Type.Union(
    [
      Type.Object({
        at_s: Type.Number(),
        was: Type.String({ description: 'What it was until then; “complete”: its plan was done.' }),
        by: Type.Union([Type.String(), Type.Null()]),
      }),
      Type.Null(),
    ],
    { description: 'null: it goes on.' },
  ),
)

export const View = Type.Object(
  {
    batch: Batch,
    now_ms: Moment_ms,
    state: Type.Unsafe<EngineState>(
      Type.Object(
        { batch: Type.Enum(['idle', 'running', 'held', 'complete', 'stopped', 'aborted']) },
        { additionalProperties: true, description: 'All that the engine remembers of the batch.' },
      ),
    ),
    stage: Type.String(),
    sentence: Type.String({ description: 'How it stands, to be read out over the telephone.' }),
    verdict: Type.Enum(['well', 'not well', 'unknown'], {
      description: '“well” is known to be so; “unknown”: something can not be known.',
    }),
    doubts: Doubts,
    ending: HowEnded,
    measured: Type.Object({
      beer: Latest('The latest temperature of the beer'),
      gravity: Latest('The latest gravity'),
    }),
    beer_C: NumberOrNull('Temperature of the beer that is believed.'),
    gravity: NumberOrNull('Specific gravity that is believed.'),
    target_C: NumberOrNull('What the temperature should be now.'),
    questions: Type.Array(Question, { description: 'What waits for an answer.' }),
    heater: Appliance,
    cooler: Appliance,
    thermostat: Thermostat,
  },
  { description: 'How a batch stands now.' },
)

export const Entry = Type.Unsafe<NumberedEntry>(
  Type.Object(
    {
      number: Type.Integer({ minimum: 1, description: 'Counts from 1 within the batch.' }),
      at_ms: Moment_ms,
      kind: Type.Enum([
        'decision',
        'command',
        'edit',
        'answer',
        'note',
        'read by hand',
        'plan changed',
        'overruled',
        'gap',
        'reach',
        'clock set',
      ]),
    },
    {
      additionalProperties: true,
      description: 'One thing that happened; more members as its kind has them.',
    },
  ),
)

export const ExpectedTransition = Type.Object(
  {
    from: Type.String(),
    to: Type.Union([Type.String(), Type.Null()], { description: 'null: the batch is complete.' }),
    at_ms: Moment_ms,
    earliest_ms: Type.Optional(Moment_ms),
    latest_ms: Type.Optional(Moment_ms),
    assumes: Type.Optional(
      Type.Literal('resumed now', { description: 'The batch is held; expected if it is resumed now.' }),
    ),
  },
  {
    description:
      'Between the earliest and the latest it comes with nine chances in ten, where they are known.',
  },
)

export const StartBatch = Type.Object(
  {
    vessel: Name,
    plan: Type.String({ minLength: 1, description: 'The text of the plan.' }),
    beer: Type.String({ minLength: 1, description: 'The text of the beer file.' }),
    overrule: Type.Optional(
      Type.String({ minLength: 1, maxLength: 2000, description: 'Why errors may be overruled.' }),
    ),
    localOffset_s: Type.Optional(
      Type.Integer({
        minimum: -86_400,
        maximum: 86_400,
        description: 'Local time minus UTC, in seconds (3600 for one hour east).',
      }),
    ),
  },
  { additionalProperties: false },
)

export const StartedBatch = Type.Object(
  { batch: Type.String(), findings: Findings },
  { description: 'It runs.' },
)

export const Why = Type.Object(
  { appliance: Type.Enum(['heater', 'cooler', 'thermostat']), at_ms: Moment_ms, sentence: Type.String() },
  { description: 'The reason.' },
)

export const Answer = Type.Object(
  {
    question: Type.Integer({ minimum: 1, description: 'The question’s id, a whole number.' }),
    answer: Type.Enum(['yes', 'not yet'], { description: '“yes” or “not yet”.' }),
  },
  { additionalProperties: false },
)

export const GoTo = Type.Object(
  {
    stage: Type.String({ minLength: 1, maxLength: 200, description: 'Name of a stage of the plan.' }),
  },
  { additionalProperties: false },
)

export const NewPlan = Type.Object(
  { plan: Type.String({ minLength: 1, description: 'The whole text of the new plan.' }) },
  { additionalProperties: false },
)

export const TakeUp = Type.Object(
  {
    plan: Type.Optional(
      Type.String({ minLength: 1, description: 'The whole text of a plan, where its own cannot be read.' }),
    ),
  },
  { additionalProperties: false },
)

export const Note = Type.Object(
  { text: Type.String({ minLength: 1, maxLength: 10_000, description: 'The note, as plain text.' }) },
  { additionalProperties: false },
)

export const TakenPlan = Type.Object({ findings: Findings }, { description: 'It is followed from now on.' })

export const HandGravity = Type.Object(
  {
    gravity: Type.String({
      minLength: 1,
      maxLength: 40,
      description:
        'A text like "1.012" or "3.1 °P", corrected for temperature; or "6.4 °Bx" of a refractometer, which is corrected for the alcohol from the original gravity of the batch.',
    }),
    at: Type.Optional(MomentText),
  },
  { additionalProperties: false },
)

export const OriginalGravity = Type.Object(
  {
    gravity: Type.String({
      minLength: 1,
      maxLength: 40,
      description: 'A text like "1.052" or "12.9 °P", corrected for temperature.',
    }),
  },
  { additionalProperties: false },
)

export const TakenOriginal = Type.Object(
  { gravity: Type.Number() },
  { description: 'Attenuation is counted from it.' },
)

export const TakenGravity = Type.Object(
  { instrument: Type.String(), gravity: Type.Number(), at_ms: Moment_ms },
  { description: 'It is stored, and the batch knows it.' },
)
