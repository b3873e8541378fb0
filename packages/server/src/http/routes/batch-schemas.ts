import type { EngineState } from '@attemper/core/engine/contract.ts'
import { Type } from 'typebox'
import type { NumberedEntry } from '../../store/store.ts'
import { Moment_ms, Name } from '../schemas.ts'

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

const Question = Type.Object({
  id: Type.Integer({ description: 'Give it back with the answer.' }),
  about: Type.Enum(['go on', 'branch', 'late', 'unknown', 'task', 'no response', 'limit']),
  stage: Type.String(),
  text: Type.String({ description: 'The words of the plan.' }),
  subject: Type.String(),
})

const Appliance = Type.Union([Type.Object({ on: Type.Boolean(), why: Type.String() }), Type.Null()], {
  description: 'null: the vessel has none.',
})

const NumberOrNull = (description: string) =>
  Type.Union([Type.Number(), Type.Null()], { description: `${description} null: unknown.` })

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
    beer_C: NumberOrNull('Temperature of the beer that is believed.'),
    gravity: NumberOrNull('Specific gravity that is believed.'),
    target_C: NumberOrNull('What the temperature should be now.'),
    questions: Type.Array(Question, { description: 'What waits for an answer.' }),
    heater: Appliance,
    cooler: Appliance,
  },
  { description: 'How a batch stands now.' },
)

export const Entry = Type.Unsafe<NumberedEntry>(
  Type.Object(
    {
      number: Type.Integer({ minimum: 1, description: 'Counts from 1 within the batch.' }),
      at_ms: Moment_ms,
      kind: Type.Enum(['decision', 'command', 'edit', 'answer', 'note', 'plan changed', 'overruled', 'gap']),
    },
    {
      additionalProperties: true,
      description: 'One thing that happened; more members as its kind has them.',
    },
  ),
)
