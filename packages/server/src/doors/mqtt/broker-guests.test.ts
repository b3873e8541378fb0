import { once } from 'node:events'
import { connect as connectSocket, type Socket } from 'node:net'
import { setTimeout as wait } from 'node:timers/promises'
import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt'
import { afterEach, describe, expect, test } from 'vitest'
import { REAL_CLOCK } from '../../live/clock.ts'
import { testIntake, testVessel } from '../testing/heard.ts'
import { embeddedBroker } from './embedded-broker.ts'
import type { Authenticate, MqttDoor } from './mqtt-door.ts'

let door: MqttDoor | null = null
const clients: MqttClient[] = []
const sockets: Socket[] = []

afterEach(async () => {
  for (const socket of sockets.splice(0)) socket.destroy()
  await Promise.all(clients.splice(0).map(client => client.endAsync(true)))
  await door?.close()
  door = null
})

/** Whoever shows a name as its own password is let in as that, until it is taken off the list. */
async function open(names: Set<string> | null): Promise<MqttDoor> {
  const authenticate: Authenticate = (name = '', password) =>
    names?.has(name) && password === name
      ? { who: { name, kind: 'readings', vessel: 'Garage fridge' }, isStillRight: () => names.has(name) }
      : null
  door = await embeddedBroker({
    ...{ port: 0, host: '127.0.0.1', clock: REAL_CLOCK, intake: testIntake(), vessels: () => [testVessel()] },
    ...(names === null ? {} : { authenticate }),
  })
  return door
}

async function client(name: string, options: IClientOptions = {}): Promise<MqttClient> {
  const made = await connectAsync(`mqtt://127.0.0.1:${door?.port}`, {
    ...{ reconnectPeriod: 0, username: name, password: name },
    ...options,
  })
  made.on('error', () => undefined)
  clients.push(made)
  return made
}

function closing(connection: MqttClient): Promise<void> {
  return new Promise(resolve => connection.once('close', () => resolve()))
}

describe('a token that is removed', () => {
  // The incident: a float whose token had been removed went on writing readings over its open connection for days.
  test('ends its open connections at once, and no others', async () => {
    const names = new Set(['float', 'other'])
    const { lookAgain } = await open(names)
    const float = await client('float')
    const other = await client('other')
    const closed = closing(float)
    names.delete('float')
    lookAgain()
    await closed
    await other.publishAsync('attemper/garage-fridge/float/beer', '18', { qos: 1 })
    expect(other.connected).toBe(true)
    await expect(client('float')).rejects.toThrow(/Not authorized/)
  })
})

// The incident: a device that called itself as another put that out, and took over its session.
test('two devices may call themselves the same: neither puts the other out, nor hears what waits for it', async () => {
  await open(new Set(['float', 'other']))
  const id = { clientId: 'esp', clean: false }
  const float = await client('float', id)
  await float.subscribeAsync('attemper/garage-fridge/refused', { qos: 1 })
  const closed = closing(float).then(() => 'closed')
  const other = await client('other', id)
  expect(await Promise.race([closed, wait(200, 'open')])).toBe('open')
  await float.endAsync()
  const heard: string[] = []
  other.on('message', topic => heard.push(topic))
  await other.publishAsync('attemper/garage-fridge/float/beer', 'no number', { qos: 1 })
  await wait(200)
  expect(heard).toEqual([])
  // It is still there for whom it was kept.
  const late = connectAsync(`mqtt://127.0.0.1:${door?.port}`, {
    ...{ reconnectPeriod: 0, username: 'float', password: 'float', ...id },
  })
  const again = await late
  clients.push(again)
  const topic = await new Promise<string>(resolve => again.once('message', resolve))
  expect(topic).toBe('attemper/garage-fridge/refused')
  // By one's own name, the newer connection is the one that counts.
  const put = closing(again)
  await client('float', id)
  await put
})

// The incident: 1,100 sockets that said nothing kept everybody from the broker for ten seconds.
test('sockets that say nothing are in nobody’s way', async () => {
  const { port } = await open(null)
  const idle = await Promise.all(
    Array.from({ length: 1100 }, async () => {
      const socket = connectSocket(port!, '127.0.0.1')
      sockets.push(socket)
      socket.on('error', () => undefined).resume()
      await Promise.race([once(socket, 'connect'), once(socket, 'close')])
      return socket
    }),
  )
  const begin = performance.now()
  const honest = await client('float')
  await honest.publishAsync('attemper/garage-fridge/float/beer', '18', { qos: 1 })
  expect(performance.now() - begin).toBeLessThan(2000)
  const left = () => idle.filter(socket => !socket.closed && !socket.destroyed).length
  for (let tries = 0; tries < 50 && left() > 20; tries++) await wait(50)
  expect(left()).toBeLessThanOrEqual(20)
})

// The incident: for a subscriber that never came back, every message was kept in memory.
test('for a subscriber that is away the latest messages wait, and no more than that', async () => {
  const broker = await open(null)
  const away = await client('any', { clientId: 'logger', clean: false })
  await away.subscribeAsync('plain/#', { qos: 1 })
  await away.endAsync()
  for (let n = 0; n < 1200; n++) await broker.publish(`plain/${n}`, 'x')
  expect(broker.counts().waiting).toBe(500)
  const heard: string[] = []
  const again = await connectAsync(`mqtt://127.0.0.1:${broker.port}`, {
    ...{ reconnectPeriod: 0, clientId: 'logger', clean: false },
  })
  clients.push(again)
  again.on('message', topic => heard.push(topic))
  for (let tries = 0; tries < 100 && heard.length < 500; tries++) await wait(50)
  expect(heard).toEqual(Array.from({ length: 500 }, (_, n) => `plain/${700 + n}`))
  await wait(200)
  expect(broker.counts().waiting).toBe(0)
})

test('what waits is bounded in bytes too', async () => {
  const broker = await open(null)
  const away = await client('any', { clientId: 'logger', clean: false })
  await away.subscribeAsync('plain/#', { qos: 1 })
  await away.endAsync()
  for (let n = 0; n < 30; n++) await broker.publish('plain/large', 'x'.repeat(100_000))
  expect(broker.counts().waiting).toBe(10)
})
