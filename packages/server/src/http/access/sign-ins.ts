import { shownName } from '@attemper/core/units/plain-text.ts'
import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import { Attempts } from './attempts.ts'
import { listDocument } from './documents.ts'
import { TooBusyError } from './passwords.ts'
import type { People, Person } from './people.ts'
import { placeOfAddress } from './place-of-address.ts'

/** Where a password was given. */
export interface SignInFrom {
  readonly door: 'HTTP' | 'MQTT'
  readonly address: string
}

export type SignInAnswer =
  | { readonly kind: 'in'; readonly person: Person }
  | { readonly kind: 'wrong' }
  /** Not tried at all: too many were. */
  | { readonly kind: 'wait'; readonly wait_s: number }

/** An address from which somebody has signed in by a name. */
interface Familiar {
  readonly place: string
  readonly name: string
}

const MOST_FAMILIAR = 200
const BUSY_WAIT_S = 5

/** Wrong tries that are written down one by one within the window; what is more is written down as a number. */
const MOST_RECORDED = 50
const WINDOW_MS = 15 * 60_000

/** Names and passwords at whatever door: limited, written down, and the owner first. */
export class SignIns {
  readonly #people: Pick<People, 'signIn'>
  readonly #store: Store
  readonly #clock: Clock
  /** By door: a device with an old password must not keep its owner, behind the same address, from signing in. */
  readonly #attempts: Readonly<Record<SignInFrom['door'], Attempts>>
  readonly #familiar
  #recorded = { since_ms: Number.NEGATIVE_INFINITY, count: 0, places: new Set<string>() }
  readonly #toldToWait = new Map<string, number>()

  constructor(people: Pick<People, 'signIn'>, store: Store, clock: Clock) {
    this.#people = people
    this.#store = store
    this.#clock = clock
    this.#attempts = { HTTP: new Attempts(clock), MQTT: new Attempts(clock) }
    this.#familiar = listDocument<Familiar>(store, 'access.familiar-addresses')
  }

  async try(name: string, password: string, from: SignInFrom): Promise<SignInAnswer> {
    const { door, address } = from
    const place = placeOfAddress(address)
    const isFamiliar = this.#familiar.read().some(one => one.place === place && one.name === name)
    const attempts = this.#attempts[door]
    const wait_s = attempts.begin(address, name, isFamiliar)
    if (wait_s > 0) {
      this.#recordWait(name, from, wait_s)
      return { kind: 'wait', wait_s }
    }
    try {
      const person = await this.#people.signIn(name, password, isFamiliar ? 'first' : 'in turn')
      if (person === null) {
        this.#recordWrong(name, from)
        return { kind: 'wrong' }
      }
      attempts.succeeded(address, name)
      if (!isFamiliar) this.#remember({ place, name })
      return { kind: 'in', person }
    } catch (error) {
      if (!(error instanceof TooBusyError)) throw error
      attempts.takeBack(address, name)
      return { kind: 'wait', wait_s: BUSY_WAIT_S }
    }
  }

  #remember(one: Familiar): void {
    try {
      this.#familiar.write([...this.#familiar.read().slice(1 - MOST_FAMILIAR), one])
    } catch {
      // With a full disk a brewer must still get in, to see to the batches.
    }
  }

  #recordWrong(name: string, { door, address }: SignInFrom): void {
    const now_ms = this.#clock.now_ms()
    const { since_ms, count, places } = this.#recorded
    if (now_ms - since_ms > WINDOW_MS || now_ms < since_ms) {
      if (count > MOST_RECORDED) {
        const what = `tried ${count - MOST_RECORDED} more wrong passwords, from ${places.size} addresses`
        this.record('nobody', what)
      }
      this.#recorded = { since_ms: now_ms, count: 0, places: new Set() }
    }
    this.#recorded.count += 1
    this.#recorded.places.add(address)
    if (this.#recorded.count > MOST_RECORDED) return
    const by = door === 'HTTP' ? '' : ' by MQTT'
    this.record('nobody', `tried a wrong password for “${shownName(name)}” from ${address}${by}`)
  }

  /** Once for each address in a window. */
  #recordWait(name: string, { door, address }: SignInFrom, wait_s: number): void {
    const now_ms = this.#clock.now_ms()
    const key = `${door} ${placeOfAddress(address)}`
    const until_ms = this.#toldToWait.get(key) ?? Number.NEGATIVE_INFINITY
    if (now_ms < until_ms && until_ms - now_ms <= WINDOW_MS) return
    if (this.#toldToWait.size >= MOST_RECORDED) this.#toldToWait.clear()
    this.#toldToWait.set(key, now_ms + wait_s * 1000)
    const by = door === 'HTTP' ? '' : ' by MQTT'
    this.record('nobody', `has to wait with passwords for “${shownName(name)}” from ${address}${by}`)
  }

  record(who: string, what: string): void {
    try {
      this.#store.appendAudit({ at_ms: this.#clock.now_ms(), who, what })
    } catch {
      // As above.
    }
  }
}
