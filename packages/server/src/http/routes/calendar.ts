import { Type } from 'typebox'
import { batchCalendar } from '../calendar/batch-calendar.ts'
import { ICALENDAR_TYPE } from '../calendar/icalendar.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { BatchId, problemsOfLook, textAnswer } from '../schemas.ts'

/** GET /batches/:id/calendar.ics: expected transitions, to subscribe to. */
export function calendarRoutes(app: HttpApp, { cellar, forecast }: HttpParts): void {
  app.get(
    '/batches/:id/calendar.ics',
    {
      config: { tokenInAddress: true },
      schema: {
        summary: 'Expected transitions as a calendar',
        description:
          'To subscribe to (RFC 5545). Calendars send no headers: add a token for the door “view” as `token` to the address.',
        tags: ['batches'],
        params: BatchId,
        querystring: Type.Object({ token: Type.Optional(Type.String({ maxLength: 200 })) }),
        response: { 200: textAnswer(ICALENDAR_TYPE, 'A calendar.'), ...problemsOfLook('unknown-batch') },
      },
    },
    async (request, reply) => {
      const view = cellar.view(request.params.id)
      const expected = view.batch.ended_ms === null ? ((await forecast?.(view)) ?? []) : []
      reply.type(ICALENDAR_TYPE)
      return batchCalendar(view, expected)
    },
  )
}
