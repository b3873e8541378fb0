import { Type } from 'typebox'
import { QuantityHistory } from '../../live/quantity-history.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { BatchId, MomentText, Name, problemsOfLook } from '../schemas.ts'
import { HistoryBucket } from './series-schemas.ts'
import { readSpan } from './span.ts'

/** GET /batches/:id/history: what a batch was believed to be, whichever instrument told it. */
export function historyRoutes(app: HttpApp, { cellar, store, clock }: HttpParts): void {
  const history = new QuantityHistory({
    log: (...asked) => cellar.log(...asked),
    buckets: (...asked) => store.buckets(...asked),
  })
  app.get(
    '/batches/:id/history',
    {
      schema: {
        summary: 'One quantity of a batch for a chart',
        description:
          'Least, greatest and mean in parts of about equal length, as the instrument that was in charge at the time ' +
          'showed them. While none was believed there is nothing.',
        tags: ['batches'],
        params: BatchId,
        querystring: Type.Object({
          quantity: Name,
          from: Type.Optional(MomentText),
          to: Type.Optional(MomentText),
          count: Type.Optional(
            Type.Integer({
              minimum: 1,
              maximum: 10_000,
              description: 'About so many parts (600 if left out).',
            }),
          ),
        }),
        response: {
          200: Type.Array(HistoryBucket, { description: 'Earliest first.' }),
          ...problemsOfLook('unknown-batch', 'wrong-value'),
        },
      },
    },
    async request => {
      const { batch } = cellar.view(request.params.id)
      const { quantity, count = 600 } = request.query
      const { from_ms, to_ms } = readSpan(request.query, clock.now_ms())
      return history.buckets(batch, quantity, from_ms, to_ms, count)
    },
  )
}
