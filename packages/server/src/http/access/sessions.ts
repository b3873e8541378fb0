import { createHash, createHmac, randomBytes, timingSafeEqual } from 'node:crypto'
import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import type { People, Person } from './people.ts'

export const SESSION_s = 30 * 86_400

const SECRET = 'access.session-secret'

/** What a session's cookie says: who, until when, and for which password. */
interface Claims {
  readonly n: string
  readonly e: number
  readonly p: string
}

/**
 * Sessions live in the signed cookie alone, so they outlast a restart. Each is bound to the password with which it began:
 * a new password, another role or removal ends all sessions of that person.
 */
export class Sessions {
  readonly #secret: Buffer
  readonly #clock: Clock
  readonly #people: People

  constructor(store: Store, clock: Clock, people: People) {
    let secret = store.getDocument(SECRET)
    if (secret === null) {
      secret = randomBytes(32).toString('base64url')
      store.putDocument(SECRET, secret)
    }
    this.#secret = Buffer.from(secret, 'base64url')
    this.#clock = clock
    this.#people = people
  }

  /** The cookie's value. */
  begin(person: Person): string {
    const claims: Claims = {
      n: person.name,
      e: this.#clock.now_ms() + SESSION_s * 1000,
      p: printOf(person),
    }
    const text = Buffer.from(JSON.stringify(claims)).toString('base64url')
    return `${text}.${this.#sign(text).toString('base64url')}`
  }

  /** Who it is; null: no session, or one that has ended. */
  person(cookie: string): Person | null {
    const [text, signature, ...rest] = cookie.split('.')
    if (text === undefined || signature === undefined || rest.length > 0) return null
    const given = Buffer.from(signature, 'base64url')
    const wanted = this.#sign(text)
    if (given.length !== wanted.length || !timingSafeEqual(given, wanted)) return null
    const claims = JSON.parse(Buffer.from(text, 'base64url').toString()) as Claims
    const person = this.#people.find(claims.n)
    if (person === null || claims.e <= this.#clock.now_ms() || claims.p !== printOf(person)) return null
    return person
  }

  #sign(text: string): Buffer {
    return createHmac('sha256', this.#secret).update(text).digest()
  }
}

function printOf(person: Person): string {
  return createHash('sha256').update(`${person.role} ${person.hash}`).digest('base64url').slice(0, 16)
}
