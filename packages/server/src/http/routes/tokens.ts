import { Type } from 'typebox'
import { printTokenDoor, readTokenDoor } from '../access/tokens.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { DONE, Done, Name, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { MadeToken, NewToken, Token } from './access-schemas.ts'

/** Tokens for devices. */
export function tokenRoutes(app: HttpApp, { access, cellar }: HttpParts): void {
  app.get(
    '/tokens',
    {
      config: { needs: 'brewer' },
      schema: {
        summary: 'Tokens of devices',
        description: 'Their names and doors. The tokens themselves are not kept.',
        tags: ['access'],
        response: {
          200: Type.Array(Token, {
            description: 'All of them.',
          }),
          ...problemsOfLook(),
        },
      },
    },
    async () =>
      access.tokens.all().map(({ name, door, made_ms }) => ({ name, door: printTokenDoor(door), made_ms })),
  )

  app.post(
    '/tokens',
    {
      config: { change: 'made the token :changed' },
      schema: {
        summary: 'Make a token',
        description: 'It can do nothing but what its door needs. It is shown only now.',
        tags: ['access'],
        body: NewToken,
        response: {
          201: MadeToken,
          ...problemsOfChange('wrong-value', 'unknown-vessel', 'name-taken'),
        },
      },
    },
    async (request, reply) => {
      const { name, door: text } = request.body
      const door = readTokenDoor(text)
      if (door === null) {
        throw new HttpProblem('wrong-value', `/door in the body: there is no door “${text.slice(0, 40)}”.`, {
          cure: 'Write “readings:” or “appliance:” with the name of a vessel, or “view”.',
        })
      }
      if (door.kind !== 'view' && !cellar.vessels().some(vessel => vessel.name === door.vessel)) {
        throw new HttpProblem('unknown-vessel', `There is no vessel called “${door.vessel}”.`)
      }
      const token = access.tokens.make(name, door)
      request.changed = `${name} for ${printTokenDoor(door)}`
      reply.code(201)
      return { name, door: printTokenDoor(door), token }
    },
  )

  app.delete(
    '/tokens/:name',
    {
      config: { change: 'removed the token :name' },
      schema: {
        summary: 'Remove a token',
        description: 'Whoever bears it is refused from now on.',
        tags: ['access'],
        params: Type.Object({ name: Name }),
        response: { 200: Done, ...problemsOfChange('unknown-token') },
      },
    },
    async request => {
      access.tokens.remove(request.params.name)
      return DONE
    },
  )
}
