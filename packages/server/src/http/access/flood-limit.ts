import type { FastifyRequest } from 'fastify'
import { Bucket } from '../../doors/flood.ts'
import type { Clock } from '../../live/clock.ts'
import { HttpProblem } from '../errors.ts'

/** Requests of one device token: in the long run, and at once after a silence. A float needs one in minutes. */
export const FLOOD_PER_SECOND = 100
export const FLOOD_AT_ONCE = 200

/** So long an asker that was refused should wait. */
const RETRY_AFTER_S = 2

/**
 * How fast one device may ask, whatever it asks for: one that has gone mad must not hold up the others, nor control. People
 * are not counted; there are few of them, and a screen that is opened asks for much at once.
 */
export class FloodLimit {
  readonly #clock: Clock
  /** By name of the token; there are no more of them than people have made. */
  readonly #buckets = new Map<string, Bucket>()

  constructor(clock: Clock) {
    this.#clock = clock
  }

  /** Throws an HttpProblem when the device that asks has asked too much. Called before anything of the body is looked at. */
  admit({ who }: FastifyRequest): void {
    if (who?.kind !== 'device') return
    const bucket = this.#buckets.get(who.name) ?? new Bucket(this.#clock, FLOOD_PER_SECOND, FLOOD_AT_ONCE)
    this.#buckets.set(who.name, bucket)
    if (bucket.take()) return
    throw new HttpProblem('too-many', `${who.name} asks more than ${FLOOD_PER_SECOND} times a second.`, {
      cure: 'Send several readings together, or less often; what was refused was not taken: send it again later.',
      retryAfter_s: RETRY_AFTER_S,
    })
  }
}
