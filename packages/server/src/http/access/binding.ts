import type { Access } from './access.ts'
import { isLoopback } from './loopback.ts'

/** The cellar refuses to start, for the safety of the house. */
export class AccessError extends Error {}

/** Where others than those at this machine can ask, there must be somebody with a password. Throws an AccessError. */
export function requireSafeBinding(host: string, access: Access): void {
  const { outside = null } = access.settings
  if ((isLoopback(host) && outside === null) || access.people.hasBrewer()) return
  const where = outside === null ? (host === '' ? 'all addresses' : host) : `${host} for ${outside.origin}`
  throw new AccessError(
    `The cellar is not started on ${where}: everybody who can reach it could switch its heaters, since no password is ` +
      `set. Set a password for a brewer first, or ${outside === null ? 'bind it to localhost' : 'say --outside none'}.`,
  )
}
