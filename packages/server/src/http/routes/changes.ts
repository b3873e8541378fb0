import { Type } from 'typebox'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { problemsOfLook } from '../schemas.ts'
import { RecordedChange } from './access-schemas.ts'

/** GET /changes: who changed what, and when. */
export function changeRoutes(app: HttpApp, { store }: HttpParts): void {
  app.get(
    '/changes',
    {
      config: { needs: 'brewer' },
      schema: {
        summary: 'Who changed what, and when',
        description: 'The record of changes to the cellar, of signings-in and of wrong passwords.',
        tags: ['access'],
        querystring: Type.Object({
          limit: Type.Optional(
            Type.Integer({ minimum: 1, maximum: 10_000, description: 'At most so many (100 if left out).' }),
          ),
        }),
        response: {
          200: Type.Array(RecordedChange, {
            description: 'As the store gives them.',
          }),
          ...problemsOfLook(),
        },
      },
    },
    async request => store.audit(request.query.limit ?? 100),
  )
}
