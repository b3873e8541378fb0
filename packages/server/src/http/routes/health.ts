import type { HttpApp, HttpParts } from '../http-app.ts'
import { problemsOfLook } from '../schemas.ts'
import { Health } from './health-schema.ts'

/** GET /health: whether the cellar answers at all. It tells nothing about the house, so anybody may ask. */
export function healthRoutes(app: HttpApp, { clock }: HttpParts): void {
  app.get(
    '/health',
    {
      config: { needs: 'nothing' },
      schema: {
        summary: 'Whether the cellar is alive',
        description: 'For whatever watches over the process. Needs no signing in.',
        tags: ['cellar'],
        security: [],
        response: {
          200: Health,
          ...problemsOfLook(),
        },
      },
    },
    async () => ({ alive: true, now_ms: clock.now_ms(), speed: clock.speed }) as const,
  )
}
