import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Access } from './access.ts'
import { admit } from './guard.ts'

/**
 * Answers that are under way: streams of events, which last, and a backup that is being fetched. When somebody may do less
 * than before, those that would not be let in any more end at once. What changes something is over before that.
 */
export class OpenRequests {
  readonly #access: Access
  readonly #open = new Map<FastifyRequest, FastifyReply>()
  readonly #stop: () => void

  constructor(access: Access) {
    this.#access = access
    this.#stop = access.revocations.listen(() => this.#lookAgain())
  }

  add(request: FastifyRequest, reply: FastifyReply): void {
    if (request.method !== 'GET') return
    this.#open.set(request, reply)
    reply.raw.once('close', () => this.#open.delete(request))
  }

  close(): void {
    this.#stop()
  }

  #lookAgain(): void {
    for (const [request, { raw }] of this.#open) {
      try {
        admit(request, this.#access)
      } catch {
        // A stream of events has an end; of anything else the rest is missing.
        if (request.routeOptions.config.isStream === true) raw.end()
        else request.raw.destroy()
      }
    }
  }
}
