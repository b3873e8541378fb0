import { Type } from 'typebox'
import { Moment_ms, Name } from '../schemas.ts'

export const Refused = Type.Array(
  Type.Object({
    index: Type.Integer({ description: 'Position in what was sent, from 0.' }),
    code: Type.Enum([
      'unknown-vessel',
      'unknown-instrument',
      'unknown-quantity',
      'not-a-number',
      'out-of-range',
      'time-in-future',
      'time-too-old',
      'wrong-shape',
      'too-many',
    ]),
    message: Type.String(),
  }),
  { description: 'What was not taken, and why.' },
)

export const Receipt = Type.Object(
  { stored: Type.Integer(), repeated: Type.Integer(), refused: Refused },
  { description: 'What became of them.' },
)

const MOST_AT_ONCE = 1000

export const PastReadings = Type.Object(
  {
    vessel: Name,
    readings: Type.Array(
      Type.Object(
        {
          instrument: Name,
          quantity: Name,
          at_ms: Moment_ms,
          value: Type.Number({ description: 'In the quantity’s own unit (°C, SG, Pa, ...).' }),
        },
        { additionalProperties: false },
      ),
      { minItems: 1, maxItems: MOST_AT_ONCE },
    ),
    toBatch: Type.Optional(
      Type.Boolean({
        description:
          'Readings from the time of the batch that runs in the vessel are meant for it: it is told of them, as of late ones. Left out: such a request is refused.',
      }),
    ),
  },
  { additionalProperties: false },
)
