import { createHash, randomBytes } from 'node:crypto'
import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import { HttpProblem } from '../errors.ts'
import { listDocument } from './documents.ts'
import { requirePlainName } from './plain-name.ts'
import type { Revocations } from './revocations.ts'

/**
 * What the bearer of a token may do, and nothing else: hand in readings of one vessel, hear and answer the commands for
 * one vessel's appliances, or look (a calendar, a collector of metrics).
 */
export type TokenDoor =
  | { readonly kind: 'readings'; readonly vessel: string }
  | { readonly kind: 'appliance'; readonly vessel: string }
  | { readonly kind: 'view' }

export interface Token {
  readonly name: string
  readonly door: TokenDoor
  readonly made_ms: number
}

interface KeptToken extends Token {
  readonly hash: string
}

/** 'readings:Bucket' and the like; null: not a door. */
export function readTokenDoor(text: string): TokenDoor | null {
  if (text === 'view') return { kind: 'view' }
  const found = /^(readings|appliance):(.+)$/su.exec(text)
  const vessel = found?.[2]
  if (vessel === undefined) return null
  return { kind: found?.[1] === 'readings' ? 'readings' : 'appliance', vessel }
}

export function printTokenDoor(door: TokenDoor): string {
  return door.kind === 'view' ? 'view' : `${door.kind}:${door.vessel}`
}

/**
 * Tokens for devices. They hold 256 random bits, which nobody guesses: so a plain hash keeps them safe in the store, and
 * tries need no limit (a device with an old token would only lock its house out).
 */
export class Tokens {
  readonly #list
  readonly #clock: Clock

  readonly #revocations: Revocations | null

  /** `revocations`: whom to tell when a token is worth nothing any more. */
  constructor(store: Store, clock: Clock, revocations: Revocations | null = null) {
    this.#list = listDocument<KeptToken>(store, 'access.tokens')
    this.#clock = clock
    this.#revocations = revocations
  }

  all(): readonly Token[] {
    return this.#list.read().map(({ name, door, made_ms }) => ({ name, door, made_ms }))
  }

  /** The text of a new token: it is shown once, and kept only as a hash. */
  make(name: string, door: TokenDoor): string {
    requirePlainName(name)
    if (this.#list.read().some(token => token.name === name)) {
      throw new HttpProblem('name-taken', `There is already a token called “${name}”.`)
    }
    const text = `at_${randomBytes(32).toString('base64url')}`
    this.#list.write([
      ...this.#list.read(),
      { name, door, made_ms: this.#clock.now_ms(), hash: hashOf(text) },
    ])
    return text
  }

  remove(name: string): void {
    const others = this.#list.read().filter(token => token.name !== name)
    if (others.length === this.#list.read().length) {
      throw new HttpProblem('unknown-token', `There is no token called “${name}”.`, {
        cure: 'GET /tokens lists those there are.',
      })
    }
    this.#list.write(others)
    this.#revocations?.happened()
  }

  /** Whether a text has the form of a token, which no password has. */
  static isToken(text: string): boolean {
    return /^at_[\w-]{43}$/.test(text)
  }

  /** The MQTT door asks this too. */
  find(text: string): Token | null {
    const hash = hashOf(text)
    return this.#list.read().find(token => token.hash === hash) ?? null
  }
}

function hashOf(text: string): string {
  return createHash('sha256').update(text).digest('base64url')
}
