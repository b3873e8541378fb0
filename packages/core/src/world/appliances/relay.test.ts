import { expect, test } from 'vitest'
import { Relay } from './relay.ts'

const command = (on: boolean, until_s: number, fence: number) =>
  ({ appliance: 'heater', on, until_s, fence }) as const

test('a command with an older fence is refused', () => {
  const relay = new Relay(0, 1)
  relay.receive(command(true, 1000, 5), 0)
  relay.receive(command(false, 1000, 4), 1)
  expect(relay.commanded).toBe(true)
  relay.receive(command(false, 1000, 6), 2)
  expect(relay.commanded).toBe(false)
})

test('a lease that is over before it arrives switches nothing on', () => {
  const relay = new Relay(0, 1)
  relay.receive(command(true, 100, 1), 100)
  expect(relay.commanded).toBe(false)
})

test('the share of lost commands', () => {
  const ons = new Relay(0.2, 99)
  let got = 0
  for (let fence = 0; fence < 10_000; fence++) {
    ons.receive(command(true, fence + 10, fence), fence)
    if (ons.leaseUntil_s === fence + 10) got++
  }
  // Standard deviation of the share: sqrt(0.2 x 0.8 / 10,000) = 0.004.
  expect(Math.abs(got / 10_000 - 0.8)).toBeLessThan(0.016)
})

test('starts, time on and the shortest rest', () => {
  const relay = new Relay(0, 1)
  relay.switch(true, 100)
  relay.switch(true, 150)
  relay.switch(false, 200)
  relay.switch(true, 260)
  expect(relay.starts).toBe(2)
  expect(relay.onTime_s(300)).toBe(140)
  expect(relay.shortestRest_s).toBe(60)
})
