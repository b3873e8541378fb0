import { createServer, type Server, type Socket } from 'node:net'
import { createServer as createTlsServer } from 'node:tls'
import { Aedes, type Client, type PublishPacket } from 'aedes'
import { LIMITS } from '../decode/limits.ts'
import { Bucket } from '../flood.ts'
import { Ear } from './ear.ts'
import { FrameWatch } from './frame-watch.ts'
import { Listeners } from './listeners.ts'
import { Lobby } from './lobby.ts'
import type { Admitted, Authenticate, BrokerNews, MqttDoor, MqttDoorParts } from './mqtt-door.ts'
import { OfflineQueues } from './offline-queues.ts'
import { maySubscribe, type Permission, refusePublish } from './permission.ts'
import { RefusedTopic } from './refused.ts'
import { CELLAR_TOPIC, commandTopic, readTopic } from './topics.ts'

export interface EmbeddedBrokerOptions extends MqttDoorParts {
  /** 0: any that is free. */
  readonly port: number
  readonly host: string
  /** Left out: everybody may do everything, which is only right on loopback. */
  readonly authenticate?: Authenticate
  /** Certificate and key in PEM; left out: not encrypted. */
  readonly tls?: { readonly cert: string | Buffer; readonly key: string | Buffer }
  /** Of one client, before it is slowed down (QoS 1 and 2) or its messages are dropped (QoS 0). */
  readonly mostPerSecond?: number
}

const MOST_PER_SECOND = 1000
const MOST_CLIENTS = 1000
/** Of one token or person: one that has gone mad must not take all places. */
const MOST_OF_ONE = 100
const CONNECT_WITHIN_MS = 10_000
/** For the topic and the other parts of a packet around its payload. */
const AROUND_PAYLOAD_BYTES = 70_000
/** Commands renew themselves: of one that acknowledges nothing, the latest are enough. */
const MOST_UNACKNOWLEDGED = 100
const ANYBODY: Permission = { name: 'anybody', kind: 'all' }

/** Per connection. */
interface Guest {
  readonly who: Permission
  readonly isStillRight: () => boolean
  /** As it calls itself. */
  readonly id: string
  readonly bucket: Bucket
}

/**
 * A broker inside the cellar, for MQTT 3.1 and 3.1.1. Aedes acknowledges a QoS 1 message after `authorizePublish` has called
 * back, so that is where readings are stored: no acknowledgement leaves before the reading is on disk.
 */
export async function embeddedBroker(options: EmbeddedBrokerOptions): Promise<MqttDoor> {
  const { clock, intake, vessels, onHeard, authenticate, mostPerSecond = MOST_PER_SECOND } = options
  let messages = 0
  let dropped = 0
  const guests = new WeakMap<Client, Guest>()
  const lobby = new Lobby()

  const publish: MqttDoor['publish'] = (topic, payload, { retain = false } = {}) =>
    new Promise(resolve => {
      if (aedes.closed) return resolve('the MQTT broker of the cellar is closed')
      const packet: PublishPacket = { cmd: 'publish', topic, payload, retain, qos: 1, dup: false }
      aedes.publish(packet, error => resolve(error ? error.message : null))
    })

  const watchers = new Set<(news: BrokerNews) => void>()
  const tellWatchers = (news: BrokerNews) => {
    for (const watcher of watchers) watcher(news)
  }
  const refused = new RefusedTopic(clock, (topic, payload) => void publish(topic, payload))
  const ear = new Ear({ clock, intake, vessels, refused, ...(onHeard === undefined ? {} : { onHeard }) })

  const guestOf = (client: Client): Guest => {
    const known = guests.get(client)
    if (known !== undefined) return known
    const bucket = new Bucket(clock, mostPerSecond, 2 * mostPerSecond)
    const guest: Guest = { who: ANYBODY, isStillRight: () => true, id: client.id, bucket }
    guests.set(client, guest)
    return guest
  }

  /** Takes a message in; rejects when the client has to be sent away. */
  const takeIn = async (client: Client, packet: PublishPacket): Promise<void> => {
    const { who, bucket, id } = guestOf(client)
    const { topic, payload } = packet
    const bytes = typeof payload === 'string' ? Buffer.from(payload) : payload
    const problem = topic.startsWith('$')
      ? `${topic.slice(0, 40)} belongs to the broker`
      : refusePublish(who, topic, {
          isOwn: own => isFor(who, ear.ownTopics().get(own)?.vessel),
          meant: written => ear.vesselMeant(written),
        })
    if (problem !== null) {
      const said = [{ index: 0, code: 'wrong-shape', message: `Not allowed: ${problem}.` }] as const
      refused.tell(null, topic, said, id)
      ear.tell(topic, bytes, id, [], said)
      throw new Error(problem)
    }
    if (packet.qos === 0) {
      if (!bucket.take()) {
        dropped++
        // Nobody can hear a topic with a dollar sign through a wildcard.
        packet.topic = '$dropped'
        packet.retain = false
        const message = `${id} sends more than ${mostPerSecond} messages a second; some were dropped.`
        refused.tell(null, topic, [{ index: 0, code: 'too-many', message }], id)
        return
      }
    } else {
      const wait_ms = bucket.reserve_ms()
      if (wait_ms > 0) await new Promise(resolve => setTimeout(resolve, wait_ms))
    }
    messages++
    const read = readTopic(topic)
    if (read.kind === 'report') {
      packet.retain = false
      tellWatchers({
        kind: 'report',
        topic: commandTopic(read.vessel, read.appliance),
        payload: bytes.toString(),
      })
      return
    }
    // A kept reading would be heard again, and taken for a new one.
    if (read.kind !== 'foreign') packet.retain = false
    await ear.hear(topic, bytes, id)
  }

  const listeners = new Listeners<Client>()
  /** Commands on their way to an appliance, the oldest first. */
  const unacknowledged = new WeakMap<Client, { readonly topic: string; readonly payload: string }[]>()

  const aedes = await Aedes.createBroker({
    connectTimeout: CONNECT_WITHIN_MS,
    maxTopicLevels: 20,
    authenticate: (client, username, password, done) => {
      const welcome = (admitted: Admitted | null) => {
        if (admitted === null || (authenticate !== undefined && isCrowded(admitted.who))) {
          return done(null, false)
        }
        guests.set(client, { ...guestOf(client), ...admitted })
        // Two devices may have the same name for themselves, and one may take that of another: each has names of its own.
        if (authenticate !== undefined) client.id = `${admitted.who.name}/${client.id}`
        lobby.leave(socketOf(client))
        done(null, true)
      }
      if (authenticate === undefined) return welcome({ who: ANYBODY, isStillRight: () => true })
      Promise.resolve()
        .then(() => authenticate(username, password?.toString('utf8'), addressOf(client)))
        .then(welcome, () => done(null, false))
    },
    authorizePublish: (client, packet, callback) => {
      if (client === null) return callback(null)
      takeIn(client, packet).then(
        () => callback(null),
        (problem: unknown) => callback(problem instanceof Error ? problem : new Error(String(problem))),
      )
    },
    authorizeForward: (client, packet) => {
      const { topic, payload } = packet
      if (listeners.acknowledgesCommands(client, topic)) {
        const waiting = unacknowledged.get(client) ?? []
        waiting.push({ topic, payload: payload.toString() })
        unacknowledged.set(client, waiting.slice(-MOST_UNACKNOWLEDGED))
      }
      return packet
    },
    authorizeSubscribe: (client, subscription, callback) => {
      callback(null, maySubscribe(guestOf(client).who, subscription.topic) ? subscription : null)
    },
  })

  const queues = new OfflineQueues(aedes)
  const present = new Set<Client>()
  const isCrowded = ({ name }: Permission) =>
    present.size >= MOST_OF_ONE &&
    [...present].filter(one => guestOf(one).who.name === name).length >= MOST_OF_ONE
  aedes.on('client', client => {
    present.add(client)
    queues.came(client.id)
  })

  aedes.on('subscribe', (subscriptions, client) => {
    for (const { topic, qos } of subscriptions) if (qos < 3) listeners.add(client, topic, qos)
    tellWatchers({ kind: 'listeners' })
  })
  aedes.on('unsubscribe', (filters, client) => {
    for (const filter of filters) listeners.remove(client, filter)
    tellWatchers({ kind: 'listeners' })
  })
  // A session that the broker has kept brings its subscriptions with it, and asks for none.
  aedes.on('clientReady', client => {
    for (const [filter, { qos }] of Object.entries(keptSubscriptions(client)))
      listeners.add(client, filter, qos)
    tellWatchers({ kind: 'listeners' })
  })
  aedes.on('clientDisconnect', client => {
    listeners.forget(client)
    tellWatchers({ kind: 'listeners' })
  })
  // An acknowledgement does not say of what; but they come in the order of the messages (MQTT 3.1.1, section 4.6).
  aedes.on('ack', (_, client) => {
    const taken = unacknowledged.get(client)?.shift()
    if (taken !== undefined) tellWatchers({ kind: 'receipt', ...taken })
  })
  aedes.on('clientDisconnect', client => {
    present.delete(client)
    queues.went(client.id, !client.clean)
  })

  const sockets = new Set<Socket>()
  const welcome = (socket: Socket) => {
    // What could not be put out of the lobby are clients.
    if (sockets.size - lobby.size >= MOST_CLIENTS) {
      socket.destroy()
      return
    }
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
    socket.on('error', () => socket.destroy())
    const frames = new FrameWatch(LIMITS.bytes + AROUND_PAYLOAD_BYTES)
    lobby.enter(socket)
    const client = aedes.handle(socket)
    socket.on('data', (chunk: Buffer) => {
      const tooLarge = frames.feed(chunk)
      if (tooLarge === null || socket.destroyed) return
      const message = `The message has ${tooLarge} bytes; send at most ${LIMITS.bytes} at a time.`
      refused.tell(
        null,
        'unknown',
        [{ index: 0, code: 'too-many', message }],
        guestOf(client).id ?? 'a client',
      )
      socket.destroy()
    })
  }
  const { tls } = options
  const server: Server =
    tls === undefined
      ? createServer(welcome)
      : createTlsServer({ ...tls, handshakeTimeout: CONNECT_WITHIN_MS }, welcome)
  if (tls !== undefined) {
    // Those that never shake hands wait in a lobby of their own.
    const outside = new Lobby()
    server.on('connection', (socket: Socket) => outside.enter(socket))
    server.on('secureConnection', (socket: Socket) => outside.leave(socket))
  }
  await listen(server, options.port, options.host)
  await publish(CELLAR_TOPIC, 'here', { retain: true })

  return {
    port: portOf(server),
    publish,
    listening: topic => listeners.hearCommands(topic),
    onAppliance(watcher) {
      watchers.add(watcher)
      return () => watchers.delete(watcher)
    },
    lookAgain() {
      for (const client of present) if (!guestOf(client).isStillRight()) client.close()
    },
    counts: () => ({
      clients: aedes.connectedClients,
      messages,
      dropped,
      waiting: queues.waiting,
      refused: refused.counts,
    }),
    async close() {
      await publish(CELLAR_TOPIC, 'away', { retain: true })
      const closed = new Promise<void>(resolve => server.close(() => resolve()))
      await new Promise<void>(resolve => aedes.close(() => resolve()))
      for (const socket of sockets) socket.destroy()
      await closed
    },
  }
}

function socketOf(client: Client): Socket {
  return client.conn as Socket
}

function addressOf(client: Client): string {
  return socketOf(client).remoteAddress ?? ''
}

/** Not in the types of the library. */
function keptSubscriptions(client: Client): Readonly<Record<string, { readonly qos: number }>> {
  return (client as unknown as { subscriptions?: Record<string, { qos: number }> }).subscriptions ?? {}
}

function isFor(who: Permission, vessel: string | undefined): boolean {
  return who.kind === 'readings' && who.vessel === vessel
}

function listen(server: Server, port: number, host: string): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, host, () => {
      server.removeListener('error', reject)
      resolve()
    })
  })
}

function portOf(server: Server): number | null {
  const address = server.address()
  return typeof address === 'object' && address !== null ? address.port : null
}
