import type { Authenticate } from '../doors/mqtt/mqtt-door.ts'
import type { Access } from '../http/access/access.ts'

/**
 * Who may use the broker, when it is open to a network: a device shows its token as the password (whatever its name), a
 * person name and password.
 */
export function mqttAccess({ tokens, people }: Access): Authenticate {
  return async (username, password) => {
    if (password === undefined) return null
    const token = tokens.find(password)
    if (token !== null) return { name: `device ${token.name}`, ...token.door }
    const person = username === undefined ? null : await people.signIn(username, password)
    if (person === null) return null
    return { name: person.name, kind: person.role === 'brewer' ? 'all' : 'view' }
  }
}
