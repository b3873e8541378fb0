import { Type } from 'typebox'
import { Moment_ms, Name } from '../schemas.ts'

export const PushKey = Type.Object(
  { key: Type.String() },
  { description: 'What a browser subscribes to (`applicationServerKey`): a point of P-256 in base64url.' },
)

export const Device = Type.Object(
  {
    id: Type.String(),
    name: Name,
    who: Type.String({ description: 'Who added it.' }),
    service: Type.String({ description: 'The host of its push service.' }),
    made_ms: Moment_ms,
  },
  { description: 'A browser that is told of alarms by web push.' },
)

const Base64url = (description: string) =>
  Type.String({ minLength: 1, maxLength: 200, pattern: '^[A-Za-z0-9_-]+=*$', description })

export const NewDevice = Type.Object(
  {
    name: Name,
    endpoint: Type.String({
      minLength: 1,
      maxLength: 2000,
      description: 'The https address of the push service, as the browser’s subscription has it.',
    }),
    keys: Type.Object(
      {
        p256dh: Base64url('The browser’s public key, in base64url.'),
        auth: Base64url('The browser’s secret of 16 bytes, in base64url.'),
      },
      { additionalProperties: false, description: 'As PushSubscription.toJSON() has them.' },
    ),
  },
  { additionalProperties: false },
)
