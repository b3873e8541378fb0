import type { FastifyRequest } from 'fastify'
import { HttpProblem } from '../errors.ts'
import type { Access } from './access.ts'
import { isLoopback } from './loopback.ts'

interface HostAndPort {
  readonly host: string
  readonly port: number
}

/** What proxies add to a request (RFC 7239, RFC 9110 section 7.6.3, and what was usual before). */
const FORWARDED = [
  'forwarded',
  'x-forwarded-for',
  'x-forwarded-host',
  'x-forwarded-proto',
  'x-real-ip',
  'via',
] as const

/**
 * No web page may reach a heater through the brewer's browser. A page of another site is known by its Origin or by
 * Sec-Fetch-Site, which browsers send and pages can not change. A page that has its own name point to this machine (DNS
 * rebinding) is of the same origin for the browser: it is known by the Host that it asks for.
 */
export function refuseForeign(request: FastifyRequest, access: Access, port: number): void {
  const { tls, outside = null } = access.settings
  const secure = tls !== undefined
  if (access.open && FORWARDED.some(name => name in request.headers)) {
    throw new HttpProblem(
      'foreign-host',
      'The request came through a proxy, but the cellar is open to this machine alone, without a password.',
      {
        cure: 'Set a password, and say under which address the cellar is reached: attemper serve --outside ADDRESS.',
      },
    )
  }
  const host = readHost(request.headers.host ?? '', secure)
  if (access.open && (host === null || !isLoopback(host.host) || host.port !== port)) {
    throw new HttpProblem(
      'foreign-host',
      `The cellar on this machine was asked for as “${shorten(request.headers.host)}”, which is not its name.`,
      { cure: `Ask for ${secure ? 'https' : 'http'}://localhost:${port}.` },
    )
  }
  const origin = request.headers.origin
  const isOutside = outside !== null && host?.host === new URL(outside.origin).hostname
  const isOwn =
    origin === undefined || origin === outside?.origin || (!isOutside && isOwnOrigin(origin, host, secure))
  if (!isOwn) {
    throw new HttpProblem('foreign-origin', `The request came from a page of “${shorten(origin)}”.`, {
      cure: 'If this is how you reach the cellar through a proxy, say so: attemper serve --outside ADDRESS.',
    })
  }
  const site = request.headers['sec-fetch-site']
  if ((site === 'cross-site' || site === 'same-site') && !isVisit(request)) {
    throw new HttpProblem('foreign-origin')
  }
}

/** Somebody followed a link to here. It changes nothing, and the other page sees nothing of the answer. */
function isVisit(request: FastifyRequest): boolean {
  return request.method === 'GET' && request.headers['sec-fetch-mode'] === 'navigate'
}

/**
 * What changes something must come from the cellar's own pages or from a program: pages of others can send neither of
 * these headers without being asked first (and are refused then). Foreign ones were refused before.
 */
export function requireOwnChange(request: FastifyRequest): void {
  const { origin, 'x-attemper': program, 'sec-fetch-site': site } = request.headers
  if (origin !== undefined || program !== undefined || site === 'same-origin') return
  throw new HttpProblem('not-from-here')
}

function isOwnOrigin(origin: string, host: HostAndPort | null, secure: boolean): boolean {
  const scheme = secure ? 'https://' : 'http://'
  if (host === null || !origin.startsWith(scheme)) return false
  const from = readHost(origin.slice(scheme.length), secure)
  return from !== null && from.host === host.host && from.port === host.port
}

function readHost(text: string, secure: boolean): HostAndPort | null {
  const found = /^(\[[0-9a-f:.]+\]|[a-z0-9._-]+)(?::(\d{1,5}))?$/.exec(text.toLowerCase())
  if (found?.[1] === undefined) return null
  return { host: found[1], port: found[2] === undefined ? (secure ? 443 : 80) : Number(found[2]) }
}

function shorten(text: string | undefined): string {
  return (text ?? '').slice(0, 80)
}
