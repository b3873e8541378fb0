import { Type } from 'typebox'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { BatchId, problemsOfLook } from '../schemas.ts'
import { ExpectedTransition } from './batch-schemas.ts'

/** GET /batches/:id/expected: the forecast of the calendar, as data. */
export function expectedRoutes(app: HttpApp, { cellar, forecast }: HttpParts): void {
  app.get(
    '/batches/:id/expected',
    {
      schema: {
        summary: 'Expected transitions',
        description:
          'When the next stages are expected to begin, from a rehearsal of the batch as it stands; the same as in its ' +
          'calendar. Of a batch that is held: as if it were resumed now, which each transition then says. It is worked out anew after a change of stage or plan, and at most every ten minutes.',
        tags: ['batches'],
        params: BatchId,
        response: {
          200: Type.Array(ExpectedTransition, {
            description: 'In the order of time; empty: the batch has ended, or nothing can be foreseen.',
          }),
          ...problemsOfLook('unknown-batch'),
        },
      },
    },
    async request => {
      const view = cellar.view(request.params.id)
      return view.batch.ended_ms === null ? ((await forecast?.(view)) ?? []) : []
    },
  )
}
