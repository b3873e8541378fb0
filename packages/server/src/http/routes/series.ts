import { Type } from 'typebox'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { MomentText, Name, problemsOfLook } from '../schemas.ts'
import { Bucket, Reading, Stream } from './series-schemas.ts'
import { readSpan } from './span.ts'

const Span = {
  from: Type.Optional(MomentText),
  to: Type.Optional(MomentText),
}

/** Readings that are kept, one by one or drawn together. */
export function seriesRoutes(app: HttpApp, { store, clock }: HttpParts): void {
  app.get(
    '/streams',
    {
      schema: {
        summary: 'What has been measured',
        description: 'All series of readings, of all vessels or of one.',
        tags: ['readings'],
        querystring: Type.Object({ vessel: Type.Optional(Name) }),
        response: {
          200: Type.Array(Stream, { description: 'Vessel, instrument and quantity of each.' }),
          ...problemsOfLook(),
        },
      },
    },
    async request => store.streams(request.query.vessel),
  )

  app.get(
    '/readings',
    {
      schema: {
        summary: 'A series, reading by reading',
        description: 'Without a span of time: the last 24 hours. To go on, ask from just after the last one.',
        tags: ['readings'],
        querystring: Type.Object({
          ...Stream.properties,
          ...Span,
          limit: Type.Optional(
            Type.Integer({
              minimum: 1,
              maximum: 100_000,
              description: 'At most so many (10,000 if left out).',
            }),
          ),
        }),
        response: {
          200: Type.Array(Reading, { description: 'Earliest first.' }),
          ...problemsOfLook('wrong-value'),
        },
      },
    },
    async request => {
      const { from_ms, to_ms } = readSpan(request.query, clock.now_ms())
      const found = store.readings(request.query, from_ms, to_ms, request.query.limit ?? 10_000)
      return found.map(({ at_ms, value, status }) => ({ at_ms, value, status }))
    },
  )

  app.get(
    '/readings/buckets',
    {
      schema: {
        summary: 'A series for a chart',
        description:
          'Least, greatest and mean in parts of equal length; parts without readings are left out.',
        tags: ['readings'],
        querystring: Type.Object({
          ...Stream.properties,
          ...Span,
          count: Type.Optional(
            Type.Integer({
              minimum: 1,
              maximum: 10_000,
              description: 'At most so many parts (600 if left out).',
            }),
          ),
        }),
        response: {
          200: Type.Array(Bucket, { description: 'Earliest first.' }),
          ...problemsOfLook('wrong-value'),
        },
      },
    },
    async request => {
      const { from_ms, to_ms } = readSpan(request.query, clock.now_ms())
      return store.buckets(request.query, from_ms, to_ms, request.query.count ?? 600)
    },
  )
}
