import { ALARM_KINDS } from '@attemper/core/alarms/catalogue.ts'
import { Type } from 'typebox'
import { MomentText } from '../schemas.ts'

const MomentOrNull_s = Type.Union([Type.Number(), Type.Null()])

export const Alarm = Type.Object(
  {
    id: Type.Integer({ minimum: 1, description: 'Never given twice.' }),
    code: Type.Enum(ALARM_KINDS.map(({ code }) => code)),
    subject: Type.String({ description: 'Tells two of a kind apart: an instrument, a question, a channel.' }),
    detail: Type.Optional(
      Type.String({ description: 'The words of a question; what an appliance answered.' }),
    ),
    state: Type.Enum(['pending', 'active', 'acknowledged', 'returned', 'shelved'], {
      description: 'As in ISA-18.2. “returned”: it is over, but nobody has seen it. “pending” is not listed.',
    }),
    priority: Type.Enum(['low', 'medium', 'high']),
    sentence: Type.String({ description: 'What is so.' }),
    reason: Type.String(),
    instruction: Type.String({ description: 'What to do.' }),
    place: Type.Union(
      [Type.Object({ batch: Type.String(), vessel: Type.String(), name: Type.String() }), Type.Null()],
      { description: 'null: it is about the cellar itself.' },
    ),
    since_s: Type.Number({ description: 'Times are seconds since 1970-01-01T00:00 UTC.' }),
    awaySince_s: MomentOrNull_s,
    raisedAt_s: MomentOrNull_s,
    shelvedUntil_s: MomentOrNull_s,
    cause: Type.Union([Type.Integer({ minimum: 1 }), Type.Null()], {
      description:
        'The id of the alarm that explains it: show both as one, and let the cause be seen. null: it stands for itself.',
    }),
    seenBy: Type.Union([Type.String(), Type.Null()]),
    seenAt_s: MomentOrNull_s,
  },
  { description: 'An alarm that has been raised.' },
)

export const Shelving = Type.Object({ until: MomentText }, { additionalProperties: false })
