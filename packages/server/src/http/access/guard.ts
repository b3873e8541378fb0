import type { FastifyContextConfig, FastifyRequest } from 'fastify'
import { HttpProblem } from '../errors.ts'
import type { Access } from './access.ts'
import { requireOwnChange } from './origin.ts'
import { findWho, type Who } from './who.ts'

/** What a route asks of whoever calls it. */
/** A person is anybody who is no device: what they change by it is their own. */
export type Needs = 'nothing' | 'viewer' | 'person' | 'brewer' | 'readings'

declare module 'fastify' {
  interface FastifyRequest {
    /** null only where the route needs nothing. */
    who: Who | null
    /** Name of what the route has changed, where the address does not say it. */
    changed: string
  }
  interface FastifyContextConfig {
    /** Left out: to look takes a viewer, to change anything a brewer. */
    needs?: Needs
    /** What the record says about a change that was made; `:name` stands for a part of the address, `:changed` for the request’s. */
    change?: string
    /** Its answer may end at any time. */
    isStream?: boolean
    /** The token may stand in the address. */
    tokenInAddress?: boolean
  }
}

/** Lets a request pass and says on it who asks, or throws an HttpProblem. */
export function admit(request: FastifyRequest, access: Access): void {
  const config: FastifyContextConfig = request.routeOptions.config
  const looks = request.method === 'GET' || request.method === 'HEAD'
  const who = findWho(request, access, config.tokenInAddress === true)
  if (!looks && needsProof(request, who, config)) requireOwnChange(request)
  request.who = who
  const needs = config.needs ?? (looks ? 'viewer' : 'brewer')
  if (needs === 'nothing') return
  if (who === null) throw new HttpProblem('sign-in')
  if (!may(who, needs)) throw new HttpProblem('not-allowed', refusal(who, needs))
}

/**
 * A browser never adds a token by itself. And the door of readings takes only kinds of body that a page of another site
 * cannot send without being asked first, so that a simple device needs no header of ours.
 */
function needsProof(request: FastifyRequest, who: Who | null, config: FastifyContextConfig): boolean {
  return who?.kind !== 'device' && !(config.needs === 'readings' && 'content-type' in request.headers)
}

function may(who: Who, needs: Exclude<Needs, 'nothing'>): boolean {
  if (who.kind === 'person') return who.role === 'brewer' || needs === 'viewer' || needs === 'person'
  return (
    (needs === 'viewer' && who.door.kind === 'view') || (needs === 'readings' && who.door.kind === 'readings')
  )
}

function refusal(who: Who, needs: Needs): string {
  if (who.kind === 'person') return `${who.name} may look, but not change anything.`
  if (needs === 'person') return 'This is for people who have signed in, not for devices.'
  if (needs === 'readings') return 'This token hands in no readings.'
  return `This token is for ${who.door.kind === 'view' ? 'looking' : who.door.kind} only.`
}

/** Who asks, where the route needs a person. */
export function personOf({ who }: FastifyRequest): Extract<Who, { readonly kind: 'person' }> {
  if (who?.kind === 'person') return who
  throw new HttpProblem('sign-in')
}

/** The name for the record. */
export function nameOf(request: FastifyRequest): string {
  return request.who?.name ?? 'nobody'
}
