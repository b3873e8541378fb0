import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import { HttpProblem } from '../errors.ts'
import { listDocument } from './documents.ts'
import { fitsPassword, hashPassword, LONGEST_PASSWORD, SHORTEST_PASSWORD, type Urgency } from './passwords.ts'
import { requirePlainName } from './plain-name.ts'
import type { Revocations } from './revocations.ts'

/** A brewer may do everything, a viewer only look. */
export type Role = 'brewer' | 'viewer'

export interface Person {
  readonly name: string
  readonly role: Role
  readonly hash: string
  readonly changed_ms: number
}

/** Who may sign in, and as what. */
export class People {
  readonly #list
  readonly #clock: Clock
  /** Fits no password; takes as long to compare as a real one. */
  #decoy: Promise<string> | null = null

  readonly #revocations: Revocations | null

  /** `revocations`: whom to tell when somebody may do less than before. */
  constructor(store: Store, clock: Clock, revocations: Revocations | null = null) {
    this.#list = listDocument<Person>(store, 'access.people')
    this.#clock = clock
    this.#revocations = revocations
  }

  all(): readonly Person[] {
    return this.#list.read()
  }

  find(name: string): Person | null {
    return this.all().find(person => person.name === name) ?? null
  }

  hasBrewer(): boolean {
    return this.all().some(person => person.role === 'brewer')
  }

  /** Adds somebody, or replaces password and role. Throws an HttpProblem when the password is too short. */
  async put(name: string, role: Role, password: string): Promise<void> {
    if (password.length < SHORTEST_PASSWORD || password.length > LONGEST_PASSWORD) {
      throw new HttpProblem('wrong-value', `The password has ${password.length} characters.`, {
        cure: `Take one of ${SHORTEST_PASSWORD} to ${LONGEST_PASSWORD} characters; a few words in a row are good.`,
      })
    }
    requirePlainName(name)
    const hash = await hashPassword(password)
    const others = this.all().filter(person => person.name !== name)
    if (role !== 'brewer') keepABrewer(this.all(), others)
    this.#list.write([...others, { name, role, hash, changed_ms: this.#clock.now_ms() }])
    this.#revocations?.happened()
  }

  remove(name: string): void {
    const others = this.all().filter(person => person.name !== name)
    if (others.length === this.all().length) {
      throw new HttpProblem('unknown-person', `Nobody here is called “${name}”.`, {
        cure: 'GET /people lists who there is.',
      })
    }
    keepABrewer(this.all(), others)
    this.#list.write(others)
    this.#revocations?.happened()
  }

  /** Whether somebody is still who they were: not removed, with the same role and password. */
  isStill({ name, role, hash }: Person): boolean {
    const now = this.find(name)
    return now !== null && now.role === role && now.hash === hash
  }

  /** The person, or null. Takes equally long whether the name or the password is wrong. */
  async signIn(name: string, password: string, urgency?: Urgency): Promise<Person | null> {
    const person = this.find(name)
    this.#decoy ??= hashPassword('')
    const hash = person?.hash ?? (await this.#decoy)
    const fits = await fitsPassword(password, hash, urgency)
    return fits ? person : null
  }
}

function keepABrewer(before: readonly Person[], after: readonly Person[]): void {
  const brewers = (list: readonly Person[]) => list.filter(person => person.role === 'brewer').length
  if (brewers(before) > 0 && brewers(after) === 0) {
    throw new HttpProblem('last-brewer', undefined, { cure: 'Make somebody else a brewer first.' })
  }
}
