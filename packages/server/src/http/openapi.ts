import swagger from '@fastify/swagger'
import { Type } from 'typebox'
import type { HttpApp } from './http-app.ts'
import { problemsOfLook } from './schemas.ts'

/** Collects the schemas of all routes that are added afterwards. */
export function registerOpenapi(app: HttpApp): void {
  app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Attemper cellar',
        description:
          'Vessels, batches and readings of one cellar. Every refusal has the shape {code, message, cure?, findings?}. ' +
          'Times are milliseconds since 1970-01-01T00:00 UTC on the cellar’s clock.',
        version: '0.1.0',
        license: { name: 'MIT', identifier: 'MIT' },
      },
      tags: [
        { name: 'vessels', description: 'What stands in the cellar.' },
        { name: 'batches', description: 'From pitch to package.' },
        { name: 'readings', description: 'What the instruments say.' },
        { name: 'alarms', description: 'What asks for somebody, and how people are told of it.' },
        { name: 'access', description: 'Who may do what, and who did.' },
        { name: 'cellar', description: 'The cellar itself.' },
      ],
      components: {
        securitySchemes: {
          session: {
            type: 'apiKey',
            in: 'cookie',
            name: 'attemper-session',
            description: 'Set by POST /session.',
          },
          token: { type: 'http', scheme: 'bearer', description: 'Made by POST /tokens.' },
        },
      },
      security: [{ session: [] }, { token: [] }],
    },
  })
}

export function openapiRoutes(app: HttpApp): void {
  app.get(
    '/openapi.json',
    {
      schema: {
        summary: 'This description',
        description: 'The interface as OpenAPI 3.1, made from the schemas that check each request.',
        tags: ['cellar'],
        response: {
          200: Type.Object({}, { additionalProperties: true, description: 'An OpenAPI document.' }),
          ...problemsOfLook(),
        },
      },
    },
    async () => app.swagger() as unknown as Record<string, unknown>,
  )
}
