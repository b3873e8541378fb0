import { createHash, createHmac, randomBytes, timingSafeEqual } from 'node:crypto'
import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import { listDocument } from './documents.ts'
import type { People, Person } from './people.ts'
import type { Revocations } from './revocations.ts'

export const SESSION_s = 30 * 86_400

const SECRET = 'access.session-secret'

const ENDED = 'access.ended-sessions'
/** Of those that were signed out and have not lapsed; more of them would be somebody's mischief. */
const MOST_ENDED = 10_000

/** A session that was ended before its time. */
interface Ended {
  readonly id: string
  readonly until_ms: number
}

/** What a session's cookie says: who, until when, and for which password; and something that tells it from all others. */
interface Claims {
  readonly n: string
  readonly e: number
  readonly p: string
  readonly r?: string
}

/**
 * Sessions live in the signed cookie, so they outlast a restart. Each is bound to the password with which it began: a new
 * password, another role or removal ends all sessions of that person. Those that were signed out are remembered until they
 * would have lapsed, so that a copy of the cookie is worth nothing.
 */
export class Sessions {
  readonly #secret: Buffer
  readonly #clock: Clock
  readonly #people: People

  readonly #ended
  readonly #revocations: Revocations

  constructor(store: Store, clock: Clock, people: People, revocations: Revocations) {
    this.#ended = listDocument<Ended>(store, ENDED)
    this.#revocations = revocations
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
      r: randomBytes(9).toString('base64url'),
    }
    const text = Buffer.from(JSON.stringify(claims)).toString('base64url')
    return `${text}.${this.#sign(text).toString('base64url')}`
  }

  /** Who it is; null: no session, or one that has ended. */
  person(cookie: string): Person | null {
    const claims = this.#claimsOf(cookie)
    if (claims === null) return null
    const person = this.#people.find(claims.n)
    if (person === null || claims.e <= this.#clock.now_ms() || claims.p !== printOf(person)) return null
    const id = idOf(cookie)
    return this.#ended.read().some(one => one.id === id) ? null : person
  }

  /** Ends the session of a cookie, wherever there is a copy of it; one that has ended or never began stays so. */
  end(cookie: string): void {
    const claims = this.#claimsOf(cookie)
    if (claims === null || this.person(cookie) === null) return
    const now_ms = this.#clock.now_ms()
    const others = this.#ended.read().filter(({ until_ms }) => until_ms > now_ms)
    this.#ended.write([...others.slice(1 - MOST_ENDED), { id: idOf(cookie), until_ms: claims.e }])
    this.#revocations.happened()
  }

  /** null: not signed by this cellar. */
  #claimsOf(cookie: string): Claims | null {
    const [text, signature, ...rest] = cookie.split('.')
    if (text === undefined || signature === undefined || rest.length > 0) return null
    const given = Buffer.from(signature, 'base64url')
    const wanted = this.#sign(text)
    if (given.length !== wanted.length || !timingSafeEqual(given, wanted)) return null
    return JSON.parse(Buffer.from(text, 'base64url').toString()) as Claims
  }

  #sign(text: string): Buffer {
    return createHmac('sha256', this.#secret).update(text).digest()
  }
}

function idOf(cookie: string): string {
  return createHash('sha256').update(cookie).digest('base64url').slice(0, 22)
}

function printOf(person: Person): string {
  return createHash('sha256').update(`${person.role} ${person.hash}`).digest('base64url').slice(0, 16)
}
