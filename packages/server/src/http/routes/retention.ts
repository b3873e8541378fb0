import { faultOfRule, readRule, sayRule, writeRule } from '../../retention/rule.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { problemsOfChange, problemsOfLook } from '../schemas.ts'
import { NewRetention, Retention } from './retention-schemas.ts'

/** GET and PUT /retention: what is given up after years. */
export function retentionRoutes(app: HttpApp, { store, onNewRetention }: HttpParts): void {
  const answer = () => {
    const rule = readRule(store)
    return { ...rule, sentence: sayRule(rule) }
  }

  app.get(
    '/retention',
    {
      schema: {
        summary: 'How long readings are kept',
        description: 'Outside of batches: what belongs to a batch is kept for ever.',
        tags: ['cellar'],
        response: { 200: Retention, ...problemsOfLook() },
      },
    },
    async () => answer(),
  )

  app.put(
    '/retention',
    {
      config: { change: 'changed how long readings are kept: :changed' },
      schema: {
        summary: 'Choose how long readings are kept',
        description:
          'What is older is removed slowly from now on, and can not be had back but from a backup. Readings from a day before a batch to a day after it are never removed.',
        tags: ['cellar'],
        body: NewRetention,
        response: { 200: Retention, ...problemsOfChange('wrong-value') },
      },
    },
    async request => {
      const fault = faultOfRule(request.body)
      if (fault !== null) throw new HttpProblem('wrong-value', fault)
      writeRule(store, request.body)
      request.changed = sayRule(request.body)
      onNewRetention?.()
      return answer()
    },
  )
}
