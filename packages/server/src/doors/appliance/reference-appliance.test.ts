import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { afterEach, describe, expect, test } from 'vitest'
import { Lease, LONGEST_S } from '../../../../../examples/appliance/lease.ts'
import { REAL_CLOCK } from '../../live/clock.ts'
import { embeddedBroker } from '../mqtt/embedded-broker.ts'
import type { MqttDoor } from '../mqtt/mqtt-door.ts'
import { testIntake, testVessel } from '../testing/heard.ts'
import { mqttAppliance } from './mqtt-appliance.ts'

const SCRIPT = fileURLToPath(new URL('../../../../../examples/appliance/appliance.ts', import.meta.url))
const AT_S = 1_764_612_000

const command = (on: boolean, lasts_s: number, fence: number) =>
  JSON.stringify({ on, until: AT_S + lasts_s, fence, at: AT_S })

describe('the lease (examples/appliance/lease.ts)', () => {
  test('off at the start, on for as long as a command lasts, and not longer', () => {
    const lease = new Lease()
    expect(lease.mayBeOn(0)).toBe(false)
    expect(lease.hear(command(true, 900, 1), false, 100, AT_S)).toBeNull()
    expect([lease.mayBeOn(100), lease.mayBeOn(999), lease.mayBeOn(1000)]).toEqual([true, true, false])
  })

  test('a lower fencing number is not obeyed, the same one is', () => {
    const lease = new Lease()
    lease.hear(command(true, 900, 5), false, 0, AT_S)
    expect(lease.hear(command(false, 900, 4), false, 1, AT_S)).toMatch(/lower than 5/)
    expect(lease.mayBeOn(1)).toBe(true)
    expect(lease.hear(command(false, 900, 5), false, 2, AT_S)).toBeNull()
    expect(lease.mayBeOn(2)).toBe(false)
  })

  test('a clock that is ahead shortens a lease, one that is behind never lengthens it', () => {
    const lease = new Lease()
    lease.hear(command(true, 900, 1), false, 0, AT_S + 600)
    expect([lease.mayBeOn(299), lease.mayBeOn(300)]).toEqual([true, false])
    lease.hear(command(true, 900, 2), false, 0, 0)
    expect([lease.mayBeOn(899), lease.mayBeOn(900)]).toEqual([true, false])
    expect(lease.hear(command(true, 900, 3), false, 0, AT_S + 901)).toMatch(/over/)
    expect(lease.mayBeOn(0)).toBe(false)
  })

  test('a kept command is obeyed only by a clock that is right', () => {
    const lease = new Lease()
    expect(lease.hear(command(true, 900, 1), true, 0, 5)).toMatch(/may be old/)
    expect(lease.mayBeOn(0)).toBe(false)
    expect(lease.hear(command(true, 900, 1), true, 0, AT_S + 800)).toBeNull()
    expect([lease.mayBeOn(99), lease.mayBeOn(100)]).toEqual([true, false])
  })

  test('a target is an order like another, and lapses like one', () => {
    const lease = new Lease()
    const target = (to: number | null, fence: number) =>
      JSON.stringify({ target: to, until: AT_S + 900, fence, at: AT_S })
    expect(lease.hear(target(18.5, 1), false, 0, AT_S)).toBeNull()
    expect([lease.orderAt(0), lease.orderAt(899), lease.orderAt(900)]).toEqual([18.5, 18.5, false])
    lease.hear(target(0, 2), false, 0, AT_S)
    expect(lease.orderAt(1)).toBe(0)
    expect(lease.hear(target(null, 3), false, 2, AT_S)).toBeNull()
    expect(lease.orderAt(2)).toBe(false)
    expect(lease.hear('{"target":"warm","until":9,"fence":9,"at":1}', false, 3, AT_S)).toBe(
      'it is no command',
    )
  })

  test('garbage changes nothing, and nothing lasts for ever', () => {
    const lease = new Lease()
    lease.hear(command(true, 900, 1), false, 0, AT_S)
    for (const text of [
      '',
      'on',
      '[]',
      'null',
      '{"on":true}',
      '{"on":1,"until":9,"fence":9,"at":1}',
      '{"on":true,"until":1e999,"fence":2,"at":1}',
    ]) {
      expect([text, lease.hear(text, false, 0, AT_S)]).toEqual([text, 'it is no command'])
    }
    expect(lease.mayBeOn(899)).toBe(true)
    lease.hear(command(true, 1e9, 2), false, 0, AT_S)
    expect([lease.mayBeOn(LONGEST_S - 1), lease.mayBeOn(LONGEST_S)]).toEqual([true, false])
  })
})

describe('the script (examples/appliance/appliance.ts)', () => {
  let device: ChildProcess | null = null
  let door: MqttDoor | null = null

  afterEach(async () => {
    if (device !== null && device.exitCode === null) {
      const gone = once(device, 'exit')
      device.kill('SIGKILL')
      await gone
    }
    await door?.close()
    device = null
    door = null
  })

  test('off at the start; on; off when the lease lapses, also without the broker; off at the end', async () => {
    door = await embeddedBroker({
      ...{ port: 0, host: '127.0.0.1', clock: REAL_CLOCK, intake: testIntake() },
      vessels: () => [testVessel()],
    })
    const said: string[] = []
    const waiting: (() => void)[] = []
    device = spawn(process.execPath, [SCRIPT, `mqtt://127.0.0.1:${door.port}`, 'garage-fridge', 'heater'], {
      stdio: ['ignore', 'pipe', 'ignore'],
    })
    createInterface({ input: device.stdout! }).on('line', line => {
      said.push(line)
      for (const call of waiting.splice(0)) call()
    })
    const lines = async (count: number) => {
      while (said.length < count) await new Promise<void>(resolve => waiting.push(resolve))
      return said.slice(0, count)
    }
    expect(await lines(1)).toEqual(['off'])

    const heater = mqttAppliance('Garage fridge', 'heater', door, REAL_CLOCK)
    const now_s = Math.floor(Date.now() / 1000)
    // Retained: it does not matter whether the device has subscribed already.
    await heater.send({ appliance: 'heater', on: true, until_s: now_s + 600, fence: 10 })
    expect(await lines(2)).toEqual(['off', 'on'])
    await heater.send({ appliance: 'heater', on: false, until_s: now_s + 600, fence: 9 })
    await heater.send({ appliance: 'heater', on: false, until_s: now_s + 600, fence: 11 })
    // The stale one came first and was not obeyed, or this would be the second "off".
    expect(await lines(3)).toEqual(['off', 'on', 'off'])

    const until_s = Math.floor(Date.now() / 1000) + 2
    await heater.send({ appliance: 'heater', on: true, until_s, fence: 12 })
    await lines(4)
    await door.close()
    door = null
    expect(await lines(5)).toEqual(['off', 'on', 'off', 'on', 'off'])
    // A timer may fire a little early, by the clock that was rounded here.
    expect(Date.now() / 1000).toBeGreaterThan(until_s - 0.1)

    const gone = once(device, 'exit')
    device.kill('SIGTERM')
    await gone
  })
})
