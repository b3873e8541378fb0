import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import { HttpProblem } from '../errors.ts'
import { nameOf } from './guard.ts'

/**
 * Writes down a change that was made, before it is confirmed; one that cannot be written down is not confirmed. Called with
 * each answer.
 */
export function recordChange(request: FastifyRequest, reply: FastifyReply, store: Store, clock: Clock): void {
  const { change } = request.routeOptions.config
  if (change === undefined || reply.statusCode >= 400) return
  const parts: Readonly<Record<string, string>> = { ...(request.params as object), changed: request.changed }
  const what = change.replaceAll(/:(\w+)/g, (_, name: string) => parts[name] ?? '')
  try {
    store.appendAudit({ at_ms: clock.now_ms(), who: nameOf(request), what })
  } catch {
    // What only looks (a backup) has changed nothing, and is the way out when the records are gone. Refusing it here would
    // also leave its file open, which ends the program when that is cleared away.
    if (request.method === 'GET') return
    throw new HttpProblem('storage', 'It was done, but could not be written into the record of changes.', {
      cure: 'Make room on the disk.',
    })
  }
}
