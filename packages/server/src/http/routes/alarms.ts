import { ALARM_KINDS } from '@attemper/core/alarms/catalogue.ts'
import { Type } from 'typebox'
import { nameOf } from '../access/guard.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { readMoment } from '../moment.ts'
import { MomentText, problemsOfChange, problemsOfLook } from '../schemas.ts'

const MomentOrNull_s = Type.Union([Type.Number(), Type.Null()])

const Alarm = Type.Object(
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
    seenBy: Type.Union([Type.String(), Type.Null()]),
    seenAt_s: MomentOrNull_s,
  },
  { description: 'An alarm that has been raised.' },
)

const AlarmId = Type.Object({
  id: Type.Integer({ minimum: 1, description: 'The alarm, as GET /alarms lists it.' }),
})

const OF_ONE = ['unknown-alarm', 'alarm-shelved', 'alarm-not-shelved', 'wrong-value'] as const

/** What asks for somebody. The alarms write down themselves who did what with them. */
export function alarmRoutes(app: HttpApp, { alarms }: HttpParts): void {
  app.get(
    '/alarms',
    {
      schema: {
        summary: 'All alarms',
        description: 'Those that have been raised and are not over, or that nobody has seen yet.',
        tags: ['alarms'],
        response: {
          200: Type.Array(Alarm, { description: 'The most urgent first, then the youngest.' }),
          ...problemsOfLook(),
        },
      },
    },
    async () => alarms.list(),
  )

  app.post(
    '/alarms/:id/acknowledge',
    {
      schema: {
        summary: 'Acknowledge an alarm',
        description: 'Somebody has seen it and looks after it. It is listed until it is over.',
        tags: ['alarms'],
        params: AlarmId,
        response: { 200: Alarm, ...problemsOfChange(...OF_ONE) },
      },
    },
    async request => alarms.acknowledge(request.params.id, nameOf(request)),
  )

  app.post(
    '/alarms/:id/shelve',
    {
      schema: {
        summary: 'Shelve an alarm',
        description:
          'It is quiet until a moment at most 7 days away; if it is still so then, it rings again.',
        tags: ['alarms'],
        params: AlarmId,
        body: Type.Object({ until: MomentText }, { additionalProperties: false }),
        response: { 200: Alarm, ...problemsOfChange(...OF_ONE) },
      },
    },
    async request => {
      const until_ms = readMoment(request.body.until, 'until')
      return alarms.shelve(request.params.id, until_ms, nameOf(request))
    },
  )

  app.post(
    '/alarms/:id/unshelve',
    {
      schema: {
        summary: 'Take an alarm off the shelf',
        description: 'Before its time.',
        tags: ['alarms'],
        params: AlarmId,
        response: { 200: Alarm, ...problemsOfChange(...OF_ONE) },
      },
    },
    async request => alarms.unshelve(request.params.id, nameOf(request)),
  )
}
