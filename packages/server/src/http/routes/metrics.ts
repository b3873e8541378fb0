import type { HttpApp, HttpParts } from '../http-app.ts'
import { cellarFamilies } from '../metrics/cellar-families.ts'
import type { DoorCounts } from '../metrics/door-counts.ts'
import { OPEN_METRICS_TYPE, printOpenMetrics } from '../metrics/open-metrics.ts'
import { problemsOfLook, textAnswer } from '../schemas.ts'

/** GET /metrics: figures for whatever collects them. */
export function metricRoutes(app: HttpApp, { cellar, figures }: HttpParts, counts: DoorCounts): void {
  app.get(
    '/metrics',
    {
      schema: {
        summary: 'Figures in the form of OpenMetrics',
        description:
          'Temperatures, gravities, states and counts. A collector sends a token for the door “view”.',
        tags: ['cellar'],
        response: { 200: textAnswer(OPEN_METRICS_TYPE, 'The text of OpenMetrics 1.0.'), ...problemsOfLook() },
      },
    },
    async (_, reply) => {
      reply.type(OPEN_METRICS_TYPE)
      return printOpenMetrics([...cellarFamilies(cellar), ...counts.families(), ...(figures?.() ?? [])])
    },
  )
}
