import { expect, test } from 'vitest'
import { HandClock } from '../../alarms/testing/hand-clock.ts'
import { leasedSwitch, type PlainSwitch } from './leased-switch.ts'

const AT_S = 1_764_612_000

/** A relay that does as told, unless `broken`. */
async function relay() {
  const told: boolean[] = []
  const state = { told, broken: false, closed: false }
  const device: PlainSwitch = {
    called: 'the relay',
    async set(on) {
      if (state.broken) throw new Error('no answer')
      told.push(on)
    },
    async close() {
      state.closed = true
    },
  }
  const clock = new HandClock(AT_S * 1000)
  const door = leasedSwitch(device, clock, clock)
  await settled()
  return { state, clock, door }
}

/** Lets what is under way come to its end. */
const settled = () => new Promise(resolve => setImmediate(resolve))
const command = (on: boolean, lasts_s: number, fence: number) =>
  ({ appliance: 'heater', on, until_s: AT_S + lasts_s, fence }) as const

test('a lease that is renewed goes on, one that is not ends', async () => {
  const { state, clock, door } = await relay()
  await door.send(command(true, 900, 1))
  clock.pass(600)
  await door.send(command(true, 1500, 2))
  clock.pass(899)
  await settled()
  expect(state.told).toEqual([false, true, true])
  clock.pass(1)
  await settled()
  expect(state.told).toEqual([false, true, true, false])
  expect(clock.waiting).toBe(0)
})

test('a command that has lapsed on its way switches off, and nothing lasts longer than 4 h', async () => {
  const { state, clock, door } = await relay()
  await door.send(command(true, 0, 1))
  expect(state.told).toEqual([false, false])
  await door.send(command(true, 1e9, 2))
  clock.pass(4 * 3600 - 1)
  await settled()
  expect(state.told.at(-1)).toBe(true)
  clock.pass(1)
  await settled()
  expect(state.told.at(-1)).toBe(false)
})

test('off is tried until it works, on is not', async () => {
  const { state, clock, door } = await relay()
  await door.send(command(true, 900, 1))
  state.broken = true
  expect(await door.send(command(true, 900, 2))).toEqual({ sent: false, problem: 'the relay: no answer' })
  expect(clock.waiting).toBe(1)
  clock.pass(900)
  for (let tries = 0; tries < 3; tries++) {
    await settled()
    clock.pass(5)
  }
  expect(state.told).toEqual([false, true])
  state.broken = false
  await settled()
  clock.pass(5)
  await settled()
  expect(state.told).toEqual([false, true, false])
  expect(clock.waiting).toBe(0)
})

test('at the end it is off, if need be after some tries', async () => {
  const { state, clock, door } = await relay()
  await door.send(command(true, 900, 1))
  state.broken = true
  const closing = door.close()
  await settled()
  expect(state).toMatchObject({ told: [false, true], closed: false })
  state.broken = false
  clock.pass(5)
  await closing
  expect(state).toMatchObject({ told: [false, true, false], closed: true })
  expect(await door.send(command(true, 900, 2))).toMatchObject({ sent: false })
  expect(clock.waiting).toBe(0)
})

test('one that stays on at the end is told of after a minute', async () => {
  const { state, clock, door } = await relay()
  await door.send(command(true, 900, 1))
  state.broken = true
  let problem: unknown = null
  const closing = door.close().catch(error => {
    problem = error
  })
  for (let tries = 1; tries < 12; tries++) {
    await settled()
    expect(problem).toBeNull()
    clock.pass(5)
  }
  await closing
  expect(String(problem)).toMatch(/the relay could not be switched off at the end \(no answer\)/)
  expect(state.closed).toBe(true)
})
