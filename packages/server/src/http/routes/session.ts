import { Attempts } from '../access/attempts.ts'
import { SESSION_s } from '../access/sessions.ts'
import { SESSION_COOKIE } from '../access/who.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { DONE, Done, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { Session, SignedIn, SignIn } from './access-schemas.ts'

/** Signing in and out. */
export function sessionRoutes(app: HttpApp, { access, store, clock }: HttpParts): void {
  const attempts = new Attempts(clock)
  const cookie = {
    path: '/',
    httpOnly: true,
    sameSite: 'strict',
    secure: access.settings.tls !== undefined,
  } as const
  const record = (who: string, what: string) => {
    try {
      store.appendAudit({ at_ms: clock.now_ms(), who, what })
    } catch {
      // With a full disk a brewer must still get in, to see to the batches.
    }
  }

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
      const wait_s = attempts.begin(request.ip)
      if (wait_s > 0) {
        throw new HttpProblem('too-many-attempts', undefined, {
          cure: `Try again in ${Math.ceil(wait_s / 60)} min.`,
          retryAfter_s: wait_s,
        })
      }
      const person = await access.people.signIn(name, password)
      if (person === null) {
        record('nobody', `tried a wrong password for “${name}” from ${request.ip}`)
        throw new HttpProblem('wrong-password')
      }
      attempts.succeeded(request.ip)
      record(person.name, `signed in from ${request.ip}`)
      reply.setCookie(SESSION_COOKIE, access.sessions.begin(person), { ...cookie, maxAge: SESSION_s })
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
        description: 'Forgets the cookie.',
        tags: ['access'],
        response: { 200: Done, ...problemsOfChange() },
      },
    },
    async (_, reply) => {
      reply.clearCookie(SESSION_COOKIE, cookie)
      return DONE
    },
  )
}
