import { lookup } from 'node:dns'
import { BlockList, isIP, isIPv6, type LookupFunction } from 'node:net'

const LONGEST_ADDRESS = 2000

/** Names that lead into a house or a company, and never to a push service (RFC 6761, 6762, 8375, and what routers use). */
const INNER_NAME =
  /(?:^|\.)(?:localhost|local|localdomain|internal|intranet|private|lan|home|corp|home\.arpa)$/

/** Addresses that are not of the public internet, by the IANA registries of special-purpose addresses. */
const INNER_ADDRESSES = new BlockList()
for (const [address, prefix] of [
  ['0.0.0.0', 8],
  ['10.0.0.0', 8],
  ['100.64.0.0', 10],
  ['127.0.0.0', 8],
  ['169.254.0.0', 16],
  ['172.16.0.0', 12],
  ['192.0.0.0', 24],
  ['192.0.2.0', 24],
  ['192.168.0.0', 16],
  ['198.18.0.0', 15],
  ['198.51.100.0', 24],
  ['203.0.113.0', 24],
  ['224.0.0.0', 3],
] as const) {
  INNER_ADDRESSES.addSubnet(address, prefix, 'ipv4')
}
for (const [address, prefix] of [
  ['::', 96],
  ['64:ff9b::', 32],
  ['100::', 64],
  ['2001::', 23],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['3fff::', 20],
  ['fc00::', 7],
  ['fe80::', 9],
  ['ff00::', 8],
] as const) {
  INNER_ADDRESSES.addSubnet(address, prefix, 'ipv6')
}

/**
 * What is wrong with the address of a push service, as the rest of a sentence; null: nothing. A browser hands it in, so it
 * must not let anybody have this machine ask around in the house.
 */
export function faultOfPushAddress(text: string, mayBeLoopback = false): string | null {
  const url = text.length > LONGEST_ADDRESS ? null : URL.parse(text)
  if (url === null) return 'is no web address'
  if (url.username !== '' || url.password !== '') return 'carries a user name'
  const host = bareHost(url)
  if (mayBeLoopback && host === '127.0.0.1') return null
  if (url.protocol !== 'https:') return 'does not begin with https://'
  if (isIP(host) !== 0) return isPublicAddress(host) ? null : 'leads into an inner network'
  return host.includes('.') && !INNER_NAME.test(host) ? null : 'leads into an inner network'
}

export function isPublicAddress(address: string): boolean {
  return !INNER_ADDRESSES.check(address, isIPv6(address) ? 'ipv6' : 'ipv4')
}

/** Finds the addresses of a name, and refuses it when one is not public: a public name may lead anywhere. */
export const publicLookup: LookupFunction = (name, options, done) => {
  lookup(name, { ...options, all: true }, (error, found) => {
    if (error !== null) return done(error, '', 4)
    const [first] = found
    if (first === undefined || found.some(({ address }) => !isPublicAddress(address))) {
      return done(new Error(`${name} leads into an inner network`), '', 4)
    }
    return options.all === true ? done(null, found) : done(null, first.address, first.family)
  })
}

function bareHost(url: URL): string {
  return url.hostname.replace(/^\[(.*)\]$/, '$1').replace(/\.$/, '')
}
