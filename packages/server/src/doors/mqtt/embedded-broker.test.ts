import { connect as connectSocket } from 'node:net'
import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt'
import { afterEach, expect, test } from 'vitest'
import { REAL_CLOCK } from '../../live/clock.ts'
import { mqttAppliance } from '../appliance/mqtt-appliance.ts'
import type { ApplianceNews } from '../appliance-door.ts'
import { testIntake, testVessel } from '../testing/heard.ts'
import { type EmbeddedBrokerOptions, embeddedBroker } from './embedded-broker.ts'
import type { Admitted, MqttDoor } from './mqtt-door.ts'
import type { Permission } from './permission.ts'

let door: MqttDoor | null = null
const clients: MqttClient[] = []

afterEach(async () => {
  await Promise.all(clients.splice(0).map(client => client.endAsync(true)))
  await door?.close()
  door = null
})

async function open(options: Partial<EmbeddedBrokerOptions> = {}) {
  const intake = options.intake ?? testIntake()
  door = await embeddedBroker({
    ...{ port: 0, host: '127.0.0.1', clock: REAL_CLOCK, intake },
    vessels: () => [testVessel()],
    ...options,
  })
  return { door, intake: intake as ReturnType<typeof testIntake> }
}

async function client(options: IClientOptions = {}): Promise<MqttClient> {
  const made = await connectAsync(`mqtt://127.0.0.1:${door?.port}`, { reconnectPeriod: 0, ...options })
  made.on('error', () => undefined)
  clients.push(made)
  return made
}

const letIn = (who: Permission): Admitted => ({ who, isStillRight: () => true })

function closing(connection: { on(event: 'close', call: () => void): unknown }): Promise<void> {
  return new Promise(resolve => connection.on('close', () => resolve()))
}

/** Subscribes, and gives the next messages one by one. */
async function listen(filter: string): Promise<() => Promise<unknown>> {
  const listener = await client()
  const messages: string[] = []
  const waiting: ((text: string) => void)[] = []
  listener.on('message', (_, payload) => {
    const text = payload.toString()
    const next = waiting.shift()
    if (next) next(text)
    else messages.push(text)
  })
  await listener.subscribeAsync(filter, { qos: 1 })
  return async () => {
    const text = messages.shift() ?? (await new Promise<string>(resolve => waiting.push(resolve)))
    return text.startsWith('{') ? (JSON.parse(text) as unknown) : text
  }
}

test('a plain number, a value with its unit, and a pack arrive with the names of the vessel file', async () => {
  const { intake } = await open()
  const probe = await client()
  await probe.publishAsync('attemper/garage-fridge/air-probe/air', '4.25', { qos: 1 })
  await probe.publishAsync(
    'attemper/Garage fridge/Probe/beer',
    '{"value":64.4,"unit":"°F","at":1764612000}',
    { qos: 1 },
  )
  const pack = [
    { bn: 'float/', bu: 'Cel', n: 'beer', v: 18.5 },
    { n: 'gravity', u: 'kg/m3', v: 1010 },
  ]
  await probe.publishAsync('attemper/garage-fridge/senml', JSON.stringify(pack), { qos: 2 })
  const vessel = 'Garage fridge'
  expect(intake.reports).toMatchObject([
    { vessel, instrument: 'Air probe', quantity: 'air', value: 4.25 },
    { vessel, instrument: 'Probe', quantity: 'beer', value: expect.closeTo(18, 9), at_ms: 1_764_612_000_000 },
    { vessel, instrument: 'Float', quantity: 'beer', value: 18.5 },
    { vessel, instrument: 'Float', quantity: 'gravity', value: expect.closeTo(1.0118, 4) },
  ])
})

test('a message of QoS 1 is acknowledged only when its reading is on disk', async () => {
  const { promise: onDisk, resolve: release } = Promise.withResolvers<void>()
  const { promise: arrived, resolve: asked } = Promise.withResolvers<void>()
  await open({
    intake: testIntake(() => {
      asked()
      return onDisk
    }),
  })
  const probe = await client()
  let acknowledged = false
  const sending = probe
    .publishAsync('attemper/garage-fridge/probe/beer', '18', { qos: 1 })
    .then(() => (acknowledged = true))
  await arrived
  // Another client's round trip through the broker takes longer than an acknowledgement would.
  const other = await client()
  await other.subscribeAsync('anything')
  expect(acknowledged).toBe(false)
  release()
  await sending
  expect(acknowledged).toBe(true)
})

test('when the disk is full nothing is acknowledged, and the client may send it again', async () => {
  let isFull = true
  const { intake } = await open({
    intake: testIntake(async () => {
      if (isFull) throw new Error('the disk is full')
    }),
  })
  const probe = await client()
  const closed = closing(probe)
  probe.publish('attemper/garage-fridge/probe/beer', '18', { qos: 1 })
  await closed
  expect(intake.reports).toEqual([])
  isFull = false
  await (await client()).publishAsync('attemper/garage-fridge/probe/beer', '18', { qos: 1 })
  expect(intake.reports).toHaveLength(1)
})

test('what is refused is told with a sentence, and counted; the others are not affected', async () => {
  const { door, intake } = await open()
  const next = await listen('attemper/garage-fridge/refused')
  const probe = await client()
  const garbage: readonly (readonly [string, string | Buffer, string])[] = [
    ['probe/beer', 'NaN', 'not-a-number'],
    ['probe/beer', '1e308', 'out-of-range'],
    ['probe/beer', 'warm', 'wrong-shape'],
    ['probe/beer', Buffer.from([0xff, 0xfe, 0x00]), 'wrong-shape'],
    ['probe/gravity', '1.012', 'unknown-quantity'],
    ['thermometer/beer', '18', 'unknown-instrument'],
    ['senml', '['.repeat(100_000), 'wrong-shape'],
    ['senml', '[{"n":"probe/beer","v":18,"must_":1}]', 'wrong-shape'],
    ['senml', '{"n":', 'wrong-shape'],
    ['probe', '18', 'wrong-shape'],
  ]
  for (const [topic, payload, code] of garbage) {
    await probe.publishAsync(`attemper/garage-fridge/${topic}`, payload, { qos: 1 })
    expect(await next()).toMatchObject({
      topic: `attemper/garage-fridge/${topic}`,
      refused: [{ index: 0, code, message: expect.stringMatching(/^\S.*\.$/) }],
    })
  }
  expect(intake.reports).toEqual([])
  await probe.publishAsync('attemper/garage-fridge/probe/beer', '18', { qos: 1 })
  expect(intake.reports).toHaveLength(1)
  expect([...door.counts().refused.values()].reduce((sum, count) => sum + count, 0)).toBe(garbage.length)
})

test('an unknown vessel is told on the common topic', async () => {
  await open()
  const next = await listen('attemper/refused')
  const probe = await client({ clientId: 'lost' })
  await probe.publishAsync('attemper/garage-frigde/probe/beer', '18', { qos: 1 })
  expect(await next()).toMatchObject({
    client: 'lost',
    refused: [{ code: 'unknown-vessel', message: expect.stringMatching(/Did you mean garage-fridge/) }],
  })
})

test('10 MB close the connection with a sentence; random bytes close it too; the broker lives', async () => {
  const { door, intake } = await open()
  const next = await listen('attemper/refused')
  const big = await client({ clientId: 'big' })
  const closed = closing(big)
  big.publish('attemper/garage-fridge/senml', Buffer.alloc(10_000_000), { qos: 1 })
  await closed
  expect(await next()).toMatchObject({
    client: 'big',
    refused: [
      { code: 'too-many', message: expect.stringMatching(/^The message has 100000\d\d bytes; send at most/) },
    ],
  })
  let seed = 1
  for (let round = 0; round < 20; round++) {
    const socket = connectSocket(door.port!, '127.0.0.1')
    socket.on('error', () => undefined)
    const gone = closing(socket)
    const bytes = Array.from({ length: 500 }, () => {
      seed = (seed * 48_271) % 2_147_483_647
      return seed & 0xff
    })
    socket.write(Buffer.from(bytes))
    socket.end()
    await gone
  }
  await (await client()).publishAsync('attemper/garage-fridge/probe/beer', '18', { qos: 1 })
  expect(intake.reports).toHaveLength(1)
})

test('a client that floods is slowed down, or loses its messages; another one is heard at once', async () => {
  const { door, intake } = await open({ mostPerSecond: 100 })
  const next = await listen('attemper/refused')
  const flood = await client({ clientId: 'flood' })
  for (let n = 0; n < 5000; n++) flood.publish('attemper/garage-fridge/probe/beer', '18', { qos: 0 })
  expect(await next()).toMatchObject({
    refused: [{ code: 'too-many', message: expect.stringMatching(/^flood sends more/) }],
  })
  const calm = await client()
  await calm.publishAsync('attemper/garage-fridge/air-probe/air', '4', { qos: 1 })
  expect(intake.reports.some(({ quantity }) => quantity === 'air')).toBe(true)
  // 200 at once, and 100 in each second that it took.
  await flood.subscribeAsync('anything')
  const heard = intake.reports.length - 1
  expect(heard).toBeGreaterThanOrEqual(200)
  expect(heard).toBeLessThan(1000)
  expect(door.counts().dropped).toBe(5000 - heard)
})

test('with QoS 1 a client that floods is slowed down, and loses nothing', async () => {
  const { door, intake } = await open({ mostPerSecond: 50 })
  const flood = await client()
  const from_ms = performance.now()
  const sending = Array.from({ length: 125 }, () =>
    flood.publishAsync('attemper/garage-fridge/probe/beer', '18', { qos: 1 }),
  )
  await Promise.all(sending)
  expect(intake.reports).toHaveLength(125)
  expect(door.counts().dropped).toBe(0)
  // 100 at once, and 25 at 50 in a second; timers may fire a little early.
  expect(performance.now() - from_ms).toBeGreaterThan(400)
})

test('only the cellar gives commands, and says whether it is there', async () => {
  const { door } = await open()
  const next = await listen('attemper/garage-fridge/appliance/heater')
  const rogue = await client()
  const closed = closing(rogue)
  rogue.publish('attemper/garage-fridge/appliance/heater', '{"on":true,"until":9e9,"fence":9e9}', { qos: 1 })
  await closed
  const appliance = mqttAppliance('Garage fridge', 'heater', door, {
    now_ms: () => 1_764_612_000_900,
    speed: 1,
  })
  const command = { appliance: 'heater', on: true, until_s: 1_764_612_900, fence: 7 } as const
  expect(await appliance.send(command)).toEqual({ sent: true, problem: null })
  const message = { on: true, until: 1_764_612_900, fence: 7, at: 1_764_612_000 }
  expect(await next()).toEqual(message)
  // Retained: who comes late hears it too.
  expect(await (await listen('attemper/+/appliance/+'))()).toEqual(message)
  expect(await (await listen('attemper/cellar'))()).toBe('here')
})

test('passwords: who may do what', async () => {
  const { intake } = await open({
    authenticate: (name, password) => {
      if (password !== 'right') return null
      return name === 'float'
        ? letIn({ name: 'float', kind: 'readings', vessel: 'Garage fridge' })
        : letIn({ name: 'relay', kind: 'appliance', vessel: 'Garage fridge' })
    },
    vessels: () => [testVessel(), testVessel('', 'Other')],
  })
  await expect(client({ username: 'float', password: 'wrong' })).rejects.toThrow(/Not authorized|refused/i)
  await expect(client()).rejects.toThrow(/Not authorized|refused/i)
  const float = await client({ username: 'float', password: 'right' })
  await float.publishAsync('attemper/garage-fridge/float/beer', '18', { qos: 1 })
  await expect(float.subscribeAsync('attemper/garage-fridge/appliance/heater')).rejects.toThrow()
  const closed = closing(float)
  float.publish('attemper/other/float/beer', '18', { qos: 1 })
  await closed
  expect(intake.reports.map(({ vessel }) => vessel)).toEqual(['Garage fridge'])
  const relay = await client({ username: 'relay', password: 'right' })
  await relay.subscribeAsync('attemper/garage-fridge/appliance/heater', { qos: 1 })
  const gone = closing(relay)
  relay.publish('attemper/garage-fridge/float/beer', '18', { qos: 1 })
  await gone
})

test('a topic of the instrument is heard through its mapping', async () => {
  const doors = `
mappings:
  float:
    topic: floats/7
    instrument: Float
    readings: [{ at: /g, quantity: gravity, unit: °P }]
    time: { at: /t, format: unix ms }
`
  const { intake } = await open({ vessels: () => [testVessel(doors)] })
  await (await client()).publishAsync('floats/7', '{"g": 12, "t": 1764612000123}', { qos: 1 })
  expect(intake.reports).toMatchObject([
    { instrument: 'Float', quantity: 'gravity', value: expect.closeTo(1.0484, 4), at_ms: 1_764_612_000_123 },
  ])
})

test('it is known whether an appliance listens, and a logger is none', async () => {
  const { door } = await open()
  const topic = 'attemper/bucket/appliance/heater'
  expect(door.listening(topic)?.listens).toBe(false)
  const logger = await client()
  await logger.subscribeAsync('#', { qos: 1 })
  expect(door.listening(topic)?.listens).toBe(false)
  const appliance = await client()
  await appliance.subscribeAsync(topic, { qos: 1 })
  expect(door.listening(topic)?.listens).toBe(true)
  expect(door.listening('attemper/bucket/appliance/cooler')?.listens).toBe(false)
  await appliance.unsubscribeAsync(topic)
  expect(door.listening(topic)?.listens).toBe(false)
  const both = await client()
  await both.subscribeAsync('attemper/bucket/appliance/+', { qos: 1 })
  expect(door.listening(topic)?.listens).toBe(true)
  await both.endAsync(true)
  await expect.poll(() => door.listening(topic)?.listens).toBe(false)
})

test('an appliance acknowledges, reports, goes, and brings its subscriptions with a kept session', async () => {
  const { door } = await open()
  const clock = { now_ms: () => 1_764_612_000_900, speed: 1 }
  const appliance = mqttAppliance('Garage fridge', 'heater', door, clock)
  const topic = 'attemper/garage-fridge/appliance/heater'
  const news: ApplianceNews[] = []
  appliance.listen!(each => news.push(each))
  const latest = () => news.at(-1)
  expect(latest()).toMatchObject({ kind: 'listening', listens: false, where: topic })
  // A logger takes everything, and is no appliance.
  const logger = await client()
  await logger.subscribeAsync('#', { qos: 1 })
  const command = { appliance: 'heater', on: true, until_s: 1_764_612_900, fence: 7 } as const
  await appliance.send(command)
  await logger.publishAsync('attemper/garage-fridge/appliance/cooler/report', '{"on":true,"fence":7}', {
    qos: 1,
  })
  expect(news.filter(({ kind }) => kind !== 'listening')).toEqual([])

  const session = { clientId: 'relay', clean: false } as const
  const relay = await client(session)
  await relay.subscribeAsync(topic, { qos: 1 })
  await expect.poll(latest).toEqual({ kind: 'receipt', appliance: 'heater', fence: 7 })
  await appliance.send({ ...command, fence: 8 })
  await expect.poll(latest).toEqual({ kind: 'receipt', appliance: 'heater', fence: 8 })
  await relay.publishAsync(`${topic}/report`, '{"on":false,"fence":8}', { qos: 1 })
  expect(latest()).toEqual({ kind: 'report', appliance: 'heater', order: false, fence: 8 })
  await relay.endAsync(true)
  await expect.poll(latest).toMatchObject({ kind: 'listening', listens: false })
  await client(session)
  await expect.poll(latest).toMatchObject({ kind: 'listening', listens: true, takesReceipt: true })
})
