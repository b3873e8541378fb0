import { Type } from 'typebox'
import { nameOf } from '../access/guard.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { readMoment } from '../moment.ts'
import { problemsOfChange, problemsOfLook } from '../schemas.ts'
import { Alarm, Shelving } from './alarm-schemas.ts'

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
        body: Shelving,
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
