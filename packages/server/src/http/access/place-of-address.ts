import { isIPv6 } from 'node:net'

/**
 * Where an address is, as far as limits are concerned. A house or a rented machine owns a whole /64 of IPv6, so all of that is
 * one place; an IPv4 address may come written as an IPv6 one.
 */
export function placeOfAddress(address: string): string {
  const plain = address.toLowerCase().split('%')[0]!
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/.exec(plain)?.[1]
  if (mapped !== undefined) return mapped
  if (!isIPv6(plain)) return plain
  const [head = '', tail] = plain.split('::')
  const front = head === '' ? [] : head.split(':')
  const back = tail === undefined || tail === '' ? [] : tail.split(':')
  const zeros = tail === undefined ? 0 : Math.max(0, 8 - front.length - back.length)
  const groups = [...front, ...Array<string>(zeros).fill('0'), ...back]
  return `${groups
    .slice(0, 4)
    .map(group => Number.parseInt(group, 16).toString(16))
    .join(':')}::/64`
}
