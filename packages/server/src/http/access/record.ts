import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import { HttpProblem } from '../errors.ts'
import { nameOf } from './guard.ts'

/** Writes down a change that was made, before it is confirmed. Called with each answer. */
export function recordChange(request: FastifyRequest, reply: FastifyReply, store: Store, clock: Clock): void {
  const { change } = request.routeOptions.config
  if (change === undefined || reply.statusCode >= 400) return
  const parts: Readonly<Record<string, string>> = { ...(request.params as object), changed: request.changed }
  const what = change.replaceAll(/:(\w+)/g, (_, name: string) => parts[name] ?? '')
  try {
    store.appendAudit({ at_ms: clock.now_ms(), who: nameOf(request), what })
  } catch {
    throw new HttpProblem('storage', 'It was done, but could not be written into the record of changes.', {
      cure: 'Make room on the disk.',
    })
  }
}
