import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { type AddressInfo, connect as connectSocket, createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Aedes } from 'aedes'
import { connectAsync } from 'mqtt'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { REAL_CLOCK } from '../../live/clock.ts'
import { mqttAppliance } from '../appliance/mqtt-appliance.ts'
import { testIntake, testVessel } from '../testing/heard.ts'
import { externalBroker } from './external-broker.ts'

/** Debian puts it where only root looks. */
const PATH = `${process.env.PATH}:/usr/sbin:/usr/local/sbin`
const isInstalled = spawnSync('mosquitto', ['-h'], { env: { PATH } }).error === undefined
if (!isInstalled) {
  console.warn('Skipped: the tests with an external broker need mosquitto (apt-get install mosquitto).')
}

test('a broker that can not be reached is told, and nothing is reported as sent', async () => {
  const problems: string[] = []
  const url = `mqtt://127.0.0.1:${await freePort()}`
  const parts = { clock: REAL_CLOCK, intake: testIntake(), vessels: () => [], url, clientId: 'lonely' }
  const door = await externalBroker({ ...parts, onReach: problem => problems.push(String(problem)) })
  expect(problems).toMatchObject([expect.stringMatching(/^mqtt:.*: .*ECONNREFUSED/)])
  expect(await door.publish('attemper/x', '1')).toBe('the MQTT broker can not be reached')
  await door.close()
})

test('a broker that knows MQTT 3.1.1 only is spoken to in that', async () => {
  const broker = await Aedes.createBroker()
  const server = createServer(broker.handle).listen(0, '127.0.0.1')
  await once(server, 'listening')
  const url = `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`
  const parts = { clock: REAL_CLOCK, intake: testIntake(), vessels: () => [testVessel()], onReach: fail }
  const door = await externalBroker({ ...parts, url, clientId: 'old' })
  expect(door.counts().clients).toBe(1)
  expect(await door.publish('attemper/garage-fridge/refused', '{}')).toBe(null)
  await door.close()
  await new Promise<void>(resolve => broker.close(resolve))
  server.close()
})

describe.skipIf(!isInstalled)('a broker that is there already (mosquitto)', () => {
  const folder = mkdtempSync(join(tmpdir(), 'attemper-broker-'))
  let broker: ChildProcess
  let url = ''

  beforeAll(async () => {
    const port = await freePort()
    const settings = join(folder, 'mosquitto.conf')
    writeFileSync(settings, `listener ${port} 127.0.0.1\nallow_anonymous true\npersistence false\n`)
    broker = spawn('mosquitto', ['-c', settings], { env: { PATH }, stdio: 'ignore' })
    url = `mqtt://127.0.0.1:${port}`
    await reachable(port)
  })

  afterAll(async () => {
    broker.kill()
    await once(broker, 'exit')
    rmSync(folder, { recursive: true })
  })

  test.each([4, 5] as const)('hears readings and gives commands, MQTT version %i', async version => {
    const intake = testIntake()
    const parts = { clock: REAL_CLOCK, intake, vessels: () => [testVessel()], onReach: fail }
    const door = await externalBroker({ url, clientId: `cellar-${version}`, version, ...parts })
    const device = await connectAsync(url, { protocolVersion: version })
    try {
      const heard = new Map<string, string>()
      const isComplete = new Promise<void>(resolve => {
        device.on('message', (topic, payload) => {
          heard.set(topic, payload.toString())
          if (heard.size === 3) resolve()
        })
      })
      await device.subscribeAsync(['attemper/cellar', 'attemper/+/refused', 'attemper/+/appliance/+'], {
        qos: 1,
      })
      await device.publishAsync('attemper/garage-fridge/probe/beer', 'cold', { qos: 1 })
      await device.publishAsync('attemper/garage-fridge/probe/beer', '18.5', { qos: 1 })
      const command = { appliance: 'cooler', on: true, until_s: 1_764_612_900, fence: 7 } as const
      expect(await mqttAppliance('Garage fridge', 'cooler', door, REAL_CLOCK).send(command)).toMatchObject({
        sent: true,
      })
      await isComplete
      expect(heard.get('attemper/cellar')).toBe('here')
      expect(JSON.parse(heard.get('attemper/garage-fridge/refused')!)).toMatchObject({
        refused: [{ code: 'wrong-shape' }],
      })
      expect(JSON.parse(heard.get('attemper/garage-fridge/appliance/cooler')!)).toMatchObject({
        on: true,
        fence: 7,
      })
      expect(intake.reports).toMatchObject([{ instrument: 'Probe', value: 18.5 }])
    } finally {
      await device.endAsync(true)
      await door.close()
    }
  })

  test('what came in while the cellar was away, or could not be stored, is heard afterwards', async () => {
    let isFull = false
    const { promise: refusedOnce, resolve: refuse } = Promise.withResolvers<void>()
    const stored = new Map<number, () => void>()
    const intake = testIntake(async () => {
      if (!isFull) return
      isFull = false
      refuse()
      throw new Error('the disk is full')
    })
    const wait = (count: number) => new Promise<void>(resolve => stored.set(count, resolve))
    const watched = {
      async accept(...given: Parameters<typeof intake.accept>) {
        const receipt = await intake.accept(...given)
        stored.get(intake.reports.length)?.()
        return receipt
      },
    }
    const parts = {
      clock: REAL_CLOCK,
      intake: watched,
      vessels: () => [testVessel()],
      url,
      clientId: 'cellar-away',
      onReach: fail,
    }
    await (await externalBroker(parts)).close()
    const device = await connectAsync(url)
    await device.publishAsync('attemper/garage-fridge/probe/beer', '18.5', { qos: 1 })
    const first = wait(1)
    const door = await externalBroker(parts)
    try {
      await first
      isFull = true
      const second = wait(2)
      await device.publishAsync('attemper/garage-fridge/probe/beer', '18.75', { qos: 1 })
      await refusedOnce
      await second
      expect(intake.reports.map(({ value }) => value)).toEqual([18.5, 18.75])
    } finally {
      await device.endAsync(true)
      await door.close()
    }
  })
})

function fail(problem: string | null): never {
  throw new Error(String(problem))
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1')
  await once(server, 'listening')
  const { port } = server.address() as { port: number }
  server.close()
  await once(server, 'close')
  return port
}

async function reachable(port: number): Promise<void> {
  for (let attempt = 0; attempt < 200; attempt++) {
    const socket = connectSocket(port, '127.0.0.1')
    const isOpen = await new Promise<boolean>(resolve => {
      socket.once('connect', () => resolve(true))
      socket.once('error', () => resolve(false))
    })
    socket.destroy()
    if (isOpen) return
    await new Promise(resolve => setTimeout(resolve, 25))
  }
  throw new Error(`mosquitto does not listen on port ${port}.`)
}
