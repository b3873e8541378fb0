import { expect, test } from 'vitest'
import { HandClock } from '../alarms/testing/hand-clock.ts'
import { watchLateness } from './lateness.ts'

test('the worst lateness of the last five minutes is told', () => {
  const hand = new HandClock(0)
  const calls: (() => void)[] = []
  const set = (_: number, call: () => void) => {
    calls.push(call)
    return () => undefined
  }
  const timers = watchLateness({ set }, hand)
  expect(timers.lateness_s()).toBe(0)
  const callLate = (late_s: number) => {
    timers.set(hand.now_ms() - late_s * 1000, () => undefined)
    calls.pop()?.()
  }
  callLate(2)
  hand.pass(60)
  callLate(0.5)
  expect(timers.lateness_s()).toBe(2)
  hand.pass(250)
  expect(timers.lateness_s()).toBe(0.5)
  callLate(7)
  expect(timers.lateness_s()).toBe(7)
  hand.pass(301)
  expect(timers.lateness_s()).toBe(0)
})
