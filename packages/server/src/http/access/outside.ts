import { isIP } from 'node:net'
import type { Store } from '../../store/store.ts'
import { AccessError } from './binding.ts'

/**
 * How people outside reach the cellar: through a proxy that encrypts for it. The proxy is on this machine, or at one of
 * `proxies`: only those are believed when they say for whom they ask.
 */
export interface Outside {
  /** https://beer.example.org, as browsers write an origin. */
  readonly origin: string
  readonly isEncrypted: boolean
  readonly proxies: readonly string[]
}

const DOCUMENT = 'access.outside'
const NONE = 'none'
const LOOPBACK = ['127.0.0.0/8', '::1/128'] as const

/**
 * The outside address that was given, or the one that is kept from an earlier start: forgotten at one start, everybody who
 * comes through the proxy would be taken for somebody at this machine. “none” forgets it. Throws an AccessError.
 */
export function outsideOf(
  store: Pick<Store, 'getDocument' | 'putDocument'>,
  given: { readonly address?: string; readonly proxies?: readonly string[] },
): Outside | null {
  const kept = JSON.parse(store.getDocument(DOCUMENT) ?? 'null') as Outside | null
  if (given.address === undefined && given.proxies === undefined) return kept
  if (given.address === NONE) {
    if (kept !== null) store.putDocument(DOCUMENT, 'null')
    return null
  }
  const address = given.address ?? kept?.origin
  if (address === undefined) {
    throw new AccessError(
      'A proxy is named, but not the address outside: say both, as in --outside https://beer.example.org.',
    )
  }
  const outside = readOutside(
    address,
    given.proxies ?? (given.address === undefined ? [] : (kept?.proxies ?? [])),
  )
  store.putDocument(DOCUMENT, JSON.stringify(outside))
  return outside
}

function readOutside(address: string, proxies: readonly string[]): Outside {
  const url = URL.parse(address)
  const isPlain =
    url !== null &&
    /^https?:$/.test(url.protocol) &&
    url.pathname === '/' &&
    [url.search, url.hash, url.username, url.password].every(part => part === '')
  if (!isPlain) {
    throw new AccessError(
      `“${address.slice(0, 80)}” is not an address outside: write it like https://beer.example.org, without a path.`,
    )
  }
  const odd = proxies.find(proxy => isIP(proxy) === 0)
  if (odd !== undefined) {
    throw new AccessError(
      `“${odd.slice(0, 80)}” is not the address of a proxy: write it in digits, like 192.168.1.2.`,
    )
  }
  return { origin: url.origin, isEncrypted: url.protocol === 'https:', proxies }
}

/** Whom the server believes when they say for whom they ask. */
export function trustedProxies(outside: Outside | null): string[] | false {
  return outside === null ? false : [...LOOPBACK, ...outside.proxies]
}
