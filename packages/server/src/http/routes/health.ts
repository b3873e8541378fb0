import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { recordsState } from '../records-state.ts'
import { problemsOfLook } from '../schemas.ts'
import { Health, RecordsHealth } from './health-schema.ts'

/** GET /health: whether the cellar answers, and keeps its records. It tells nothing about the house, so anybody may ask. */
export function healthRoutes(app: HttpApp, parts: HttpParts): void {
  const { clock } = parts
  app.get(
    '/health',
    {
      config: { needs: 'nothing' },
      schema: {
        summary: 'Whether the cellar is alive',
        description:
          'For whatever restarts the process when it does not answer. Batches are controlled also while records can not be ' +
          'written, so that is no failure here. Needs no signing in.',
        tags: ['cellar'],
        security: [],
        response: {
          200: Health,
          ...problemsOfLook(),
        },
      },
    },
    async () =>
      ({ alive: true, now_ms: clock.now_ms(), speed: clock.speed, records: recordsState(parts) }) as const,
  )

  app.get(
    '/health/records',
    {
      config: { needs: 'nothing' },
      schema: {
        summary: 'Whether records are kept',
        description:
          'For whatever calls somebody: a failure (503) while the disk is full, or the records are damaged or gone. A restart ' +
          'does not help. Needs no signing in.',
        tags: ['cellar'],
        security: [],
        response: {
          200: RecordsHealth,
          ...problemsOfLook('storage'),
        },
      },
    },
    async () => {
      const records = recordsState(parts)
      if (records === 'failing') throw new HttpProblem('storage')
      return { records }
    },
  )
}
