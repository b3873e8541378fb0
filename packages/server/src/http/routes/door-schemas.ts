import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import { Type } from 'typebox'
import { Findings, Moment_ms, Name } from '../schemas.ts'

const HeardReading = Type.Object({
  vessel: Type.String(),
  instrument: Type.String(),
  quantity: Type.String(),
  value: Type.Number({ description: 'In the quantity’s own unit.' }),
  at_ms: Moment_ms,
})

const HeardRefusal = Type.Object({
  index: Type.Integer({ description: 'Position in what was sent, from 0.' }),
  code: Type.String({ description: 'As POST /readings has them, or a code of this interface.' }),
  message: Type.String({ description: 'What is wrong and what would be right.' }),
})

export const HeardMessage = Type.Object(
  {
    number: Type.Integer({ minimum: 1, description: 'Counts from 1 at each start of the cellar.' }),
    at_ms: Moment_ms,
    door: Type.Enum(['http', 'mqtt']),
    where: Type.String({ description: 'Topic, or path with its query.' }),
    by: Type.Union([Type.String(), Type.Null()], { description: 'The client, device, person or address.' }),
    kind: Type.Union([Type.String(), Type.Null()], { description: 'The content type.' }),
    bytes: Type.Integer({ description: 'Of the whole.' }),
    text: Type.Union([Type.String(), Type.Null()], {
      description: 'Its first 2000 bytes; secrets are blotted out. null: it was refused before it was read.',
    }),
    isText: Type.Boolean({ description: 'false: `text` holds hexadecimal digits.' }),
    readings: Type.Array(HeardReading, { description: 'What was taken: the first 20.' }),
    readingCount: Type.Integer(),
    refused: Type.Array(HeardRefusal, { description: 'What was not: the first 20.' }),
    refusedCount: Type.Integer(),
  },
  { description: 'A message that came to a door, and what was made of it.' },
)

export const MappingTrial = Type.Object(
  {
    mapping: Type.Optional(
      Type.String({
        maxLength: 20_000,
        description:
          'One mapping as docs/reference/doors.md has it, YAML or JSON. Left out: the message is SenML.',
      }),
    ),
    contentType: Type.Optional(
      Type.String({ maxLength: 100, description: 'Left out: the first letter decides.' }),
    ),
    text: Type.String({ maxLength: 100_000, description: 'The message.' }),
    vessel: Name,
  },
  { additionalProperties: false },
)

export const TriedMapping = Type.Object(
  {
    findings: Findings,
    readings: Type.Array(HeardReading, { description: 'Those that it would give.' }),
    refused: Type.Array(HeardRefusal, { description: 'What would be refused, and why.' }),
  },
  { description: 'Nothing was stored.' },
)

export const FoundProbe = Type.Object(
  {
    door: Type.Enum(['one-wire', 'hwmon']),
    name: Type.String({ description: 'As the door settings write it.' }),
    label: Type.Union([Type.String(), Type.Null()], { description: 'What the maker of the board calls it.' }),
    value: Type.Union([Type.Number(), Type.Null()], { description: 'What it says now.' }),
    unit: Type.Union([Type.String(), Type.Null()]),
    problem: Type.Union([Type.String(), Type.Null()], { description: 'Why that is not to be believed.' }),
  },
  { description: 'Something that the kernel can be asked for.' },
)

const ChannelAddress = Type.Object({
  instrument: Type.String(),
  quantity: Type.String(),
  unit: Type.String({ description: 'Of a plain number; empty: it has none.' }),
  byHand: Type.Boolean(),
  topic: Type.String({ description: 'Of MQTT.' }),
  senmlName: Type.String({ description: 'The name of its records in a SenML pack.' }),
})

export const DoorAddresses = Type.Object(
  {
    mqttPort: Type.Union([Type.Integer(), Type.Null()], {
      description: 'Of the cellar’s own broker; null: it uses another.',
    }),
    broker: Type.Union([Type.String(), Type.Null()], {
      description: 'mqtt://HOST:PORT of that other broker; null: the cellar has its own.',
    }),
    httpPath: Type.String({ description: 'Below the address of the cellar.' }),
    channels: Type.Array(ChannelAddress, { description: 'In the order of the vessel file.' }),
  },
  { description: 'Where devices send its readings.' },
)

export const TextSchema = Type.Unsafe<JsonSchema>(
  Type.Object({}, { description: 'JSON Schema, draft 2020-12, for editors that complete and explain.' }),
)
