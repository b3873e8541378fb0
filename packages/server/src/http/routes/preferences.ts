import { personOf } from '../access/guard.ts'
import { PreferenceBook } from '../access/preferences.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { problemsOfChange, problemsOfLook } from '../schemas.ts'
import { NewPreferences, Preferences } from './preference-schemas.ts'

/** Units, clock and appearance, for each person. A viewer chooses their own too: nothing of the cellar changes by it. */
export function preferenceRoutes(app: HttpApp, { access, store }: HttpParts): void {
  const book = new PreferenceBook(store)

  app.get(
    '/preferences',
    {
      config: { needs: 'person' },
      schema: {
        summary: 'How I want to read things',
        description:
          'Of whoever is signed in. A cellar that is open to this machine alone keeps one set for anybody here.',
        tags: ['access'],
        response: { 200: Preferences, ...problemsOfLook() },
      },
    },
    async request => book.of(personOf(request).name),
  )

  app.put(
    '/preferences',
    {
      config: { needs: 'person' },
      schema: {
        summary: 'Choose how I read things',
        description: 'What is left out is as usual: °C, SG, litres, 24 h, and as the device looks.',
        tags: ['access'],
        body: NewPreferences,
        response: { 200: Preferences, ...problemsOfChange() },
      },
    },
    async request => {
      const { name } = personOf(request)
      return book.put(
        name,
        request.body,
        one => access.people.find(one) !== null || (access.open && one === 'brewer'),
      )
    },
  )
}
