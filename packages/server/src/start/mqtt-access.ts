import type { Authenticate } from '../doors/mqtt/mqtt-door.ts'
import type { Access } from '../http/access/access.ts'
import { Tokens } from '../http/access/tokens.ts'

/**
 * Who may use the broker, when it is open to a network: a device shows its token as the password (whatever its name), a
 * person name and password. Passwords are limited as for signing in; tokens, which nobody guesses, are not.
 */
export function mqttAccess({ tokens, people, signIns }: Access): Authenticate {
  return async (username, password, address) => {
    if (password === undefined) return null
    const token = tokens.find(password)
    if (token !== null) {
      const isStillRight = () => tokens.find(password)?.name === token.name
      return { who: { name: `device ${token.name}`, ...token.door }, isStillRight }
    }
    // An old one: its device comes again and again, and is no guesser.
    if (username === undefined || Tokens.isToken(password)) return null
    const answer = await signIns.try(username, password, { door: 'MQTT', address })
    if (answer.kind !== 'in') return null
    const { person } = answer
    return {
      who: { name: person.name, kind: person.role === 'brewer' ? 'all' : 'view' },
      isStillRight: () => people.isStill(person),
    }
  }
}
