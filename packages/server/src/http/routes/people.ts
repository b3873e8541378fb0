import { Type } from 'typebox'
import { nameOf } from '../access/guard.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { DONE, Done, Name, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { NewPerson, Person } from './access-schemas.ts'

const PersonName = Type.Object({ name: Name })

/** Who may sign in. */
export function peopleRoutes(app: HttpApp, { access, notifier }: HttpParts): void {
  app.get(
    '/people',
    {
      config: { needs: 'brewer' },
      schema: {
        summary: 'Who may sign in',
        description: 'Names and roles; no passwords.',
        tags: ['access'],
        response: {
          200: Type.Array(Person, { description: 'All of them.' }),
          ...problemsOfLook(),
        },
      },
    },
    async () => access.people.all().map(({ name, role, changed_ms }) => ({ name, role, changed_ms })),
  )

  app.put(
    '/people/:name',
    {
      config: { change: 'set role and password of :name' },
      schema: {
        summary: 'Let somebody in',
        description: 'Adds somebody, or gives another role and password, which ends all sessions of theirs.',
        tags: ['access'],
        params: PersonName,
        body: NewPerson,
        response: { 200: Done, ...problemsOfChange('wrong-value', 'last-brewer') },
      },
    },
    async request => {
      const { role, password } = request.body
      await access.people.put(request.params.name, role, password)
      return DONE
    },
  )

  app.delete(
    '/people/:name',
    {
      config: { change: 'removed :name' },
      schema: {
        summary: 'Let somebody in no more',
        description: 'Their sessions end at once, and their devices are told of nothing any more.',
        tags: ['access'],
        params: PersonName,
        response: { 200: Done, ...problemsOfChange('unknown-person', 'last-brewer') },
      },
    },
    async request => {
      const { name } = request.params
      access.people.remove(name)
      for (const { id, who } of notifier.devices.all) {
        if (who === name) notifier.devices.remove(id, nameOf(request))
      }
      return DONE
    },
  )
}
