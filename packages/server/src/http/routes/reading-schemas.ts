import { Type } from 'typebox'

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
