import { Type } from 'typebox'
import { Moment_ms, Name } from '../schemas.ts'

const LONGEST_SETTINGS = 100_000

export const Channel = Type.Object(
  {
    name: Name,
    kind: Type.Enum(['e-mail', 'webhook', 'mqtt', 'push']),
    where: Type.String({ description: 'The server, host, topic or devices that messages go to.' }),
    told: Type.Array(Type.String(), { description: 'Who is told by it.' }),
    waiting: Type.Integer({ minimum: 0, description: 'Messages that have not been sent yet.' }),
    problem: Type.Union([Type.String(), Type.Null()], { description: 'Why it fails; null: it does not.' }),
    took_ms: Type.Union([Moment_ms, Type.Null()], {
      description: 'When the other side last took a message; null: not yet, as it is set up now.',
    }),
    failed_ms: Type.Union([Moment_ms, Type.Null()], {
      description: 'When a message last failed to be taken; null: not yet.',
    }),
  },
  { description: 'A way of reaching somebody.' },
)

export const NotifySettings = Type.Object({ text: Type.String() }, { description: 'Empty: nobody is told.' })

export const NewNotifySettings = Type.Object(
  {
    text: Type.String({ maxLength: LONGEST_SETTINGS, description: 'The whole text, YAML or JSON.' }),
  },
  { additionalProperties: false },
)

export const Trial = Type.Object(
  { ok: Type.Boolean(), sentence: Type.String() },
  { description: '`ok`: the other side took the message.' },
)
