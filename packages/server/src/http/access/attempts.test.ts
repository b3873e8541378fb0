import { expect, test } from 'vitest'
import { FakeClock } from '../testing/fake-clock.ts'
import { Attempts } from './attempts.ts'
import { placeOfAddress } from './place-of-address.ts'

const LIMITS = { perAddress: 2, perName: 5, window_ms: 60_000 }

test('an address that has used up its tries waits until its first one lies a window back', () => {
  const clock = new FakeClock()
  const attempts = new Attempts(clock, LIMITS)
  expect(attempts.begin('a', 'anna')).toBe(0)
  clock.pass(20_000)
  expect(attempts.begin('a', 'bert')).toBe(0)
  expect(attempts.begin('a', 'anna')).toBe(40)
  expect(attempts.begin('b', 'anna')).toBe(0)
  clock.pass(40_000)
  expect(attempts.begin('a', 'anna')).toBe(0)
  expect(attempts.begin('a', 'anna')).toBe(20)
})

// The incident: wrong passwords from thirty addresses kept everybody from signing in, whatever their name.
test('many addresses close a name for strangers, but neither other names nor familiar addresses', () => {
  const attempts = new Attempts(new FakeClock(), LIMITS)
  const tried = ['a', 'b', 'c', 'd', 'e', 'f', 'g'].map(address => attempts.begin(address, 'anna'))
  expect(tried).toEqual([0, 0, 0, 0, 0, 60, 60])
  expect(attempts.begin('h', 'bert')).toBe(0)
  expect(attempts.begin('home', 'anna', true)).toBe(0)
  expect(attempts.begin('home', 'anna', true)).toBe(0)
  expect(attempts.begin('home', 'anna', true)).toBe(60)
})

test('a right password takes back the tries for its name from its address, and no others', () => {
  const attempts = new Attempts(new FakeClock(), LIMITS)
  attempts.begin('a', 'anna')
  attempts.begin('a', 'bert')
  attempts.begin('b', 'anna')
  attempts.begin('b', 'anna')
  attempts.succeeded('a', 'anna')
  expect(attempts.begin('a', 'anna')).toBe(0)
  // Who knows the password of a guest gets no more tries at the brewer's by it.
  expect(attempts.begin('a', 'bert')).toBeGreaterThan(0)
  expect(attempts.begin('b', 'anna')).toBeGreaterThan(0)
})

test('a clock that is set back locks nobody out', () => {
  const clock = new FakeClock()
  const attempts = new Attempts(clock, LIMITS)
  attempts.begin('a', 'anna')
  attempts.begin('a', 'anna')
  clock.pass(-30 * 86_400_000)
  expect(attempts.begin('a', 'anna')).toBe(0)
})

test.each([
  ['192.0.2.7', '192.0.2.7'],
  ['::ffff:192.0.2.7', '192.0.2.7'],
  ['::FFFF:192.0.2.7', '192.0.2.7'],
  ['2001:db8:1:2:3:4:5:6', '2001:db8:1:2::/64'],
  ['2001:0DB8:1:2::9', '2001:db8:1:2::/64'],
  ['2001:db8::9', '2001:db8:0:0::/64'],
  ['::1', '0:0:0:0::/64'],
  ['fe80::1%eth0', 'fe80:0:0:0::/64'],
  ['', ''],
])('%s is at %s: whoever owns an IPv6 network has no more tries', (address, place) => {
  expect(placeOfAddress(address)).toBe(place)
})
