import type { Access } from './access.ts'
import { isLoopback } from './loopback.ts'

/** The cellar refuses to start, for the safety of the house. */
export class AccessError extends Error {}

/** Bound to anything but loopback there must be somebody with a password. Throws an AccessError. */
export function requireSafeBinding(host: string, access: Access): void {
  if (isLoopback(host) || access.people.hasBrewer()) return
  throw new AccessError(
    `The cellar is not started on ${host === '' ? 'all addresses' : host}: everybody in the network could switch its ` +
      'heaters, since no password is set. Set a password for a brewer first, or bind it to localhost.',
  )
}
