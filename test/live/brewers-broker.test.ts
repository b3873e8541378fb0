import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { connect as connectSocket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { commandTopic } from '@attemper/server/doors/mqtt/topics.ts'
import { connectAsync, type MqttClient } from 'mqtt'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { CellarProcess } from './cellar-process.ts'
import { freePorts } from './free-ports.ts'
import { OutsideVessel } from './outside-vessel.ts'

/**
 * A batch through a broker that is there already, which knows no mercy: it is killed, and comes back having forgotten all
 * that it retained. Then the cellar is killed, and the broker says so and keeps what comes in.
 */
const VESSEL = `vessel: Old fridge
beer: 20 L
heat paths:
  beer to wall: 12 W/°C
  wall stores: 3 kJ/°C
  wall to air: 4 W/°C
  air stores: 9 kJ/°C
  air to room: 1.6 W/°C
room: { average: 16 °C }
heater: { power: 120 W, to wall: 6 W/°C, to air: 0.5 W/°C }
cooler: { power: 160 W, coldest: -18 °C, stores: 4 kJ/°C, to air: 8 W/°C, rests at least: 5 min }
instruments:
  - { instrument: Probe, every: 2 min, timeout: 6 h, measures: { beer: {} } }
  - { instrument: Hydrometer, by hand: true, every: 2 d, measures: { gravity: {} } }
`
const BEER = `beer: Brokered ale
original gravity: 1.050
final gravity: 1.012
starts at: 18 °C
start: 2026-12-04T18:00
yeast: { name: House ale yeast, class: ale }
`
const PLAN = `plan: Until the gravity says so
limits: { lowest: 0 °C, highest: 26 °C }
stages:
  - stage: Primary
    hold: 21 °C
    until: { gravity: { at most: 1.045 } }
    at most: 90 d
    if late: ask
    if unknown: { wait: 60 d, then: ask }
  - stage: Cool down
    hold: 12 °C
    until: { beer: { at most: 11 °C } }
    at most: 90 d
    if late: ask
`
const SPEED = 2000
const SOON = { timeout: 40_000, interval: 50 }
const LOGIN = { username: 'cellar', password: 'kept in a file' }
/** Debian puts it where only root looks. */
const PATH = `${process.env.PATH}:/usr/sbin:/usr/local/sbin`
const isInstalled = spawnSync('mosquitto', ['-h'], { env: { PATH } }).error === undefined
if (!isInstalled) console.warn('Skipped: a batch through another broker needs mosquitto.')

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-broker-'))
})
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

test.skipIf(!isInstalled)(
  'a batch goes on when its broker, and then its cellar, is killed and comes back',
  async () => {
    const [port, brokerPort] = (await freePorts(2)) as [number, number]
    const url = `mqtt://127.0.0.1:${brokerPort}`
    const options = { dataDir: join(folder, 'data'), host: '127.0.0.1', port, mqttPort: 0, speed: SPEED }
    const api = (path: string, body?: unknown) => ask(`http://127.0.0.1:${port}${path}`, body)
    const alarm = async () => {
      const alarms: readonly { code: string; awaySince_s: number | null }[] = await api('/alarms')
      const found = alarms.find(({ code }) => code === 'broker-unreachable')
      return found === undefined ? 'none' : found.awaySince_s === null ? 'rings' : 'over'
    }

    let broker = await startBroker(brokerPort)
    const first = new CellarProcess()
    const second = new CellarProcess()
    let ear = await Ear.listen(url)
    const addresses = await first.start({ ...options, broker: { url, ...LOGIN } })
    expect(addresses.mqttUrl).toBe(url)
    await api('/vessels', { text: VESSEL, doors: '' })
    const { vessel } = readVessel(VESSEL, 'vessel')
    const { beer } = readBeer(BEER, 'beer')
    const outside = new OutsideVessel(addresses, vessel!, beer!, { pitchedBefore_s: 86_400, seed: 4 })
    try {
      const { batch } = await api('/batches', { vessel: 'Old fridge', plan: PLAN, beer: BEER })
      const stage = async () => (await api(`/batches/${batch}`)).stage
      await expect.poll(() => ear.command('heater')?.on, SOON).toBe(true)
      expect(ear.heard('attemper/cellar')).toBe('here')
      expect(await alarm()).toBe('none')

      await killed(broker)
      await expect.poll(alarm, SOON).toBe('rings')
      await ear.close()
      broker = await startBroker(brokerPort)
      ear = await Ear.listen(url)
      await expect.poll(() => ear.heard('attemper/cellar'), SOON).toBe('here')
      await expect.poll(() => ear.command('heater'), SOON).toBeDefined()
      await expect.poll(alarm, SOON).toBe('over')

      expect(await stage()).toBe('Primary')
      await ear.say('attemper/old-fridge/hydrometer/gravity', '1.0445')
      await expect.poll(stage, SOON).toBe('Cool down')
      await expect.poll(() => ear.command('cooler')?.on, SOON).toBe(true)

      await first.kill()
      await expect.poll(() => ear.heard('attemper/cellar'), SOON).toBe('away')
      await ear.say('attemper/old-fridge/hydrometer/gravity', '1.0401')
      await second.start({ ...options, broker: { url, ...LOGIN } })
      await expect.poll(() => ear.heard('attemper/cellar'), SOON).toBe('here')
      await expect.poll(async () => (await api(`/batches/${batch}`)).gravity, SOON).toBeCloseTo(1.0401, 4)
      expect(await stage()).toBe('Cool down')
      expect(outside.bothOn_s).toEqual([])
    } finally {
      await outside.close()
      await ear.close()
      await Promise.all([first.kill(), second.kill()])
      await killed(broker)
    }
  },
  180_000,
)

/** Somebody else at the broker, who hears what is retained. */
class Ear {
  readonly #client: MqttClient
  readonly #heard = new Map<string, string>()

  private constructor(client: MqttClient) {
    this.#client = client
    client.on('message', (topic, payload) => this.#heard.set(topic, payload.toString()))
  }

  static async listen(url: string): Promise<Ear> {
    const client = await connectAsync(url, { reconnectPeriod: 0 })
    client.on('error', () => undefined)
    const ear = new Ear(client)
    await client.subscribeAsync(['attemper/cellar', 'attemper/+/appliance/+'], { qos: 1 })
    return ear
  }

  heard(topic: string): string | undefined {
    return this.#heard.get(topic)
  }

  command(appliance: string): { readonly on: boolean } | undefined {
    const text = this.#heard.get(commandTopic('Old fridge', appliance))
    return text === undefined ? undefined : JSON.parse(text)
  }

  async say(topic: string, text: string): Promise<void> {
    await this.#client.publishAsync(topic, text, { qos: 1 })
  }

  async close(): Promise<void> {
    await this.#client.endAsync(true)
  }
}

/** Keeps nothing over its end. A name that it does not know is refused, so the cellar's own is right. */
async function startBroker(port: number): Promise<ChildProcess> {
  const passwords = join(folder, 'passwords')
  const made = spawnSync('mosquitto_passwd', ['-b', '-c', passwords, LOGIN.username, LOGIN.password])
  if (made.status !== 0) throw new Error(`mosquitto_passwd: ${made.stderr}`)
  chmodSync(passwords, 0o600)
  const settings = join(folder, 'mosquitto.conf')
  const lines = [`listener ${port} 127.0.0.1`, 'allow_anonymous true', 'persistence false']
  if (process.getuid?.() === 0) lines.push('user root')
  writeFileSync(settings, `${[...lines, `password_file ${passwords}`].join('\n')}\n`)
  const broker = spawn('mosquitto', ['-c', settings], { env: { PATH }, stdio: 'ignore' })
  for (let attempt = 0; attempt < 400; attempt++) {
    if (await answers(port)) return broker
    await sleep(25)
  }
  broker.kill()
  throw new Error(`mosquitto does not listen on port ${port}.`)
}

async function answers(port: number): Promise<boolean> {
  const socket = connectSocket(port, '127.0.0.1')
  const isOpen = await new Promise<boolean>(resolve => {
    socket.once('connect', () => resolve(true))
    socket.once('error', () => resolve(false))
  })
  socket.destroy()
  return isOpen
}

async function killed(broker: ChildProcess): Promise<void> {
  if (broker.exitCode !== null || broker.signalCode !== null) return
  const ended = once(broker, 'exit')
  broker.kill('SIGKILL')
  await ended
}

// biome-ignore lint/suspicious/noExplicitAny: answers of the interface, of which a test looks at one member
async function ask(url: string, body?: unknown): Promise<any> {
  const headers = { 'content-type': 'application/json', 'x-attemper': '1' }
  const sent = body === undefined ? {} : { method: 'POST', headers, body: JSON.stringify(body) }
  const answer = await fetch(url, sent)
  const text = await answer.text()
  if (!answer.ok) throw new Error(`${url}: ${answer.status} ${text}`)
  return JSON.parse(text)
}
