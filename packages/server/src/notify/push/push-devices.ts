import { ECDH, randomBytes } from 'node:crypto'
import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import { faultOfPushAddress } from './push-address.ts'

/** A browser that let itself be told. Whoever knows endpoint and keys may write to it, so they are never shown. */
export interface PushDevice {
  readonly id: string
  /** Who added it. */
  readonly who: string
  /** What they called it. */
  readonly name: string
  readonly endpoint: string
  readonly p256dh: string
  readonly auth: string
  readonly made_ms: number
}

export type NewDevice = Omit<PushDevice, 'id' | 'made_ms'>

export interface DeviceFault {
  readonly fault: string
  readonly cure: string
}

const DOCUMENT = 'notify.push.devices'

const MOST = 50

const AGAIN = 'Let the browser subscribe anew, and hand in what it gives.'

/** The devices that are told by web push, kept in the store. */
export class PushDevices {
  readonly #store: Pick<Store, 'getDocument' | 'putDocument' | 'appendAudit'>
  readonly #clock: Clock
  readonly #mayBeLoopback: boolean
  #all: readonly PushDevice[]
  /** Called after each change. */
  onChange: () => void = () => undefined

  constructor(
    store: Pick<Store, 'getDocument' | 'putDocument' | 'appendAudit'>,
    clock: Clock,
    mayBeLoopback: boolean,
  ) {
    this.#store = store
    this.#clock = clock
    this.#mayBeLoopback = mayBeLoopback
    this.#all = JSON.parse(store.getDocument(DOCUMENT) ?? '[]') as readonly PushDevice[]
  }

  get all(): readonly PushDevice[] {
    return this.#all
  }

  find(id: string): PushDevice | null {
    return this.#all.find(device => device.id === id) ?? null
  }

  /** A browser that hands in the same address again keeps its place, with its new name and keys. */
  add(wish: NewDevice): PushDevice | DeviceFault {
    const fault = this.#faultOf(wish)
    if (fault !== null) return fault
    const before = this.#all.find(({ endpoint }) => endpoint === wish.endpoint)
    if (before === undefined && this.#all.length >= MOST) {
      return { fault: `${MOST} devices are told already.`, cure: 'Remove one that is not used any more.' }
    }
    const id = before?.id ?? randomBytes(8).toString('hex')
    const device = { ...wish, id, made_ms: before?.made_ms ?? this.#clock.now_ms() }
    const others = this.#all.filter(each => each.id !== id)
    this.#write([...others, device], wish.who, `lets “${wish.name}” be told of alarms`)
    return device
  }

  remove(id: string, by: string): boolean {
    const device = this.find(id)
    if (device === null) return false
    const others = this.#all.filter(each => each.id !== id)
    this.#write(others, by, `lets “${device.name}” be told of alarms no more`)
    return true
  }

  #faultOf({ endpoint, p256dh, auth }: NewDevice): DeviceFault | null {
    const wrong = faultOfPushAddress(endpoint, this.#mayBeLoopback)
    if (wrong !== null) return { fault: `/endpoint ${wrong}.`, cure: AGAIN }
    if (!isPoint(p256dh)) return { fault: '/keys/p256dh is no public key of P-256.', cure: AGAIN }
    if (Buffer.from(auth, 'base64url').length !== 16) {
      return { fault: '/keys/auth has not 16 bytes.', cure: AGAIN }
    }
    return null
  }

  #write(all: readonly PushDevice[], who: string, what: string) {
    this.#store.putDocument(DOCUMENT, JSON.stringify(all))
    this.#all = all
    this.onChange()
    this.#store.appendAudit({ at_ms: this.#clock.now_ms(), who, what })
  }
}

function isPoint(text: string): boolean {
  const bytes = Buffer.from(text, 'base64url')
  if (bytes.length !== 65 || bytes[0] !== 4) return false
  try {
    ECDH.convertKey(bytes, 'prime256v1')
    return true
  } catch {
    return false
  }
}
