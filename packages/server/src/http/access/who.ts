import type { FastifyRequest } from 'fastify'
import { HttpProblem } from '../errors.ts'
import type { Access } from './access.ts'
import { isLoopback } from './loopback.ts'
import type { Role } from './people.ts'
import type { TokenDoor } from './tokens.ts'

/** Who asks: a person with a role, or a device with the door of its token. `name` is what the record says. */
export type Who = { readonly name: string } & (
  | { readonly kind: 'person'; readonly role: Role }
  | { readonly kind: 'device'; readonly door: TokenDoor }
)

export const SESSION_COOKIE = 'attemper-session'

/** null: nobody who is known. A token that is not known is refused at once, so that its owner notices. */
export function findWho(request: FastifyRequest, access: Access, tokenInAddress: boolean): Who | null {
  const token = readToken(request, tokenInAddress)
  if (token !== null) {
    const found = access.tokens.find(token)
    if (found === null) throw new HttpProblem('wrong-token')
    return { kind: 'device', name: `device ${found.name}`, door: found.door }
  }
  const cookie = request.cookies[SESSION_COOKIE]
  const person = cookie === undefined ? null : access.sessions.person(cookie)
  if (person !== null) return { kind: 'person', name: person.name, role: person.role }
  return access.open && cameFromHere(request) ? { kind: 'person', name: 'brewer', role: 'brewer' } : null
}

/** The bearer's token of RFC 6750. Calendars can send no headers, so theirs may stand in the address. */
function readToken(request: FastifyRequest, inAddress: boolean): string | null {
  const { authorization } = request.headers
  if (authorization !== undefined) {
    const found = /^Bearer +(\S+)$/i.exec(authorization)
    if (found?.[1] === undefined) {
      throw new HttpProblem('wrong-token', 'The header Authorization does not hold a bearer token.')
    }
    return found[1]
  }
  const token = inAddress ? (request.query as { token?: unknown }).token : undefined
  return typeof token === 'string' ? token : null
}

/** The settings say loopback; the socket must not say otherwise. (Injected requests have no socket.) */
function cameFromHere(request: FastifyRequest): boolean {
  const address = request.socket.localAddress
  return address === undefined || isLoopback(address)
}
