import { expect, test } from 'vitest'
import { FakeClock } from '../testing/fake-clock.ts'
import { Attempts } from './attempts.ts'

const LIMITS = { perAddress: 2, overall: 5, window_ms: 60_000 }

test('an address that has used up its tries waits until its first one lies a window back', () => {
  const clock = new FakeClock()
  const attempts = new Attempts(clock, LIMITS)
  expect(attempts.begin('a')).toBe(0)
  clock.pass(20_000)
  expect(attempts.begin('a')).toBe(0)
  expect(attempts.begin('a')).toBe(40)
  expect(attempts.begin('b')).toBe(0)
  clock.pass(40_000)
  expect(attempts.begin('a')).toBe(0)
  expect(attempts.begin('a')).toBe(20)
})

test('many addresses together have no more than all', () => {
  const clock = new FakeClock()
  const attempts = new Attempts(clock, LIMITS)
  const tried = ['a', 'b', 'c', 'd', 'e', 'f', 'g'].map(address => attempts.begin(address))
  expect(tried).toEqual([0, 0, 0, 0, 0, 60, 60])
})

test('a right password takes its tries back; others keep theirs', () => {
  const attempts = new Attempts(new FakeClock(), LIMITS)
  attempts.begin('a')
  attempts.begin('a')
  attempts.begin('b')
  attempts.begin('b')
  attempts.succeeded('a')
  expect(attempts.begin('a')).toBe(0)
  expect(attempts.begin('b')).toBeGreaterThan(0)
})

test('a clock that is set back locks nobody out', () => {
  const clock = new FakeClock()
  const attempts = new Attempts(clock, LIMITS)
  attempts.begin('a')
  attempts.begin('a')
  clock.pass(-30 * 86_400_000)
  expect(attempts.begin('a')).toBe(0)
})
