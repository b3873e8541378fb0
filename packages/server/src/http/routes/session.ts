import type { FastifyRequest } from 'fastify'
import { SESSION_s } from '../access/sessions.ts'
import { SESSION_COOKIE } from '../access/who.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { DONE, Done, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { Session, SignedIn, SignIn } from './access-schemas.ts'

/** Signing in and out. */
export function sessionRoutes(app: HttpApp, { access }: HttpParts): void {
  const { tls, outside = null } = access.settings
  // Through the proxy it is encrypted; from a page at home it may not be, and a browser would not send such a cookie there.
  const cookieFor = (request: FastifyRequest) =>
    ({
      path: '/',
      httpOnly: true,
      sameSite: 'strict',
      secure:
        tls !== undefined || (outside?.isEncrypted === true && request.headers.origin === outside.origin),
    }) as const

  app.post(
    '/session',
    {
      config: { needs: 'nothing' },
      schema: {
        summary: 'Sign in',
        description: 'Sets a cookie that scripts cannot read. After a few wrong passwords there is a pause.',
        tags: ['access'],
        security: [],
        body: SignIn,
        response: {
          200: SignedIn,
          ...problemsOfChange('wrong-password', 'too-many-attempts'),
        },
      },
    },
    async (request, reply) => {
      const { name = 'brewer', password } = request.body
      const answer = await access.signIns.try(name, password, { door: 'HTTP', address: request.ip })
      if (answer.kind === 'wait') {
        const { wait_s } = answer
        throw new HttpProblem('too-many-attempts', undefined, {
          cure: `Try again in ${wait_s < 60 ? `${wait_s} s` : `${Math.ceil(wait_s / 60)} min`}.`,
          retryAfter_s: wait_s,
        })
      }
      if (answer.kind === 'wrong') throw new HttpProblem('wrong-password')
      const { person } = answer
      access.signIns.record(person.name, `signed in from ${request.ip}`)
      reply.setCookie(SESSION_COOKIE, access.sessions.begin(person), {
        ...cookieFor(request),
        maxAge: SESSION_s,
      })
      return { name: person.name, role: person.role }
    },
  )

  app.get(
    '/session',
    {
      schema: {
        summary: 'Who I am',
        description: 'Name and role of whoever asks.',
        tags: ['access'],
        response: {
          200: Session,
          ...problemsOfLook(),
        },
      },
    },
    async ({ who }) => {
      if (who === null) throw new HttpProblem('sign-in')
      return { name: who.name, role: who.kind === 'person' ? who.role : who.kind, open: access.open }
    },
  )

  app.delete(
    '/session',
    {
      config: { needs: 'nothing' },
      schema: {
        summary: 'Sign out',
        description: 'Ends the session: the cookie, and every copy of it, is worth nothing any more.',
        tags: ['access'],
        response: { 200: Done, ...problemsOfChange() },
      },
    },
    async (request, reply) => {
      const session = request.cookies[SESSION_COOKIE]
      if (session !== undefined) access.sessions.end(session)
      reply.clearCookie(SESSION_COOKIE, cookieFor(request))
      return DONE
    },
  )
}
