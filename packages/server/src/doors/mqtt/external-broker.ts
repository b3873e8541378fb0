import { connect, type IClientOptions } from 'mqtt'
import { Ear } from './ear.ts'
import type { BrokerNews, MqttDoor, MqttDoorParts } from './mqtt-door.ts'
import { RefusedTopic } from './refused.ts'
import { CELLAR_TOPIC, commandTopic, READING_FILTERS, REPORT_FILTER, readTopic } from './topics.ts'

export interface ExternalBrokerOptions extends MqttDoorParts {
  /** mqtt://HOST:PORT or mqtts://HOST:PORT */
  readonly url: string
  readonly username?: string
  readonly password?: string
  /** Stays the same over restarts, so that the broker keeps what comes in while the cellar is away. */
  readonly clientId: string
  /** Texts of certificates (PEM) that the broker's own is checked against. Left out: those of the platform. */
  readonly ca?: string
  /** Left out: 5, or 4 (3.1.1) when the broker does not know that. */
  readonly version?: 4 | 5
  /** Is told in a few words why the broker can not be used, once until it can again (null); it is tried on. */
  readonly onReach: (problem: string | null) => void
}

/** How long a broker may take to accept a command. */
const PUBLISH_WITHIN_MS = 10_000
/** A week: what came in meanwhile is kept by the broker. */
const SESSION_LASTS_S = 7 * 86_400
/** A broker whose machine has lost its power says nothing: it is missed after one and a half times this. */
const KEEPALIVE_S = 20
const CONNECT_WITHIN_MS = 10_000
/** "Unacceptable protocol version" of MQTT 3.1.1 and 5. */
const UNKNOWN_VERSION = new Set<unknown>([1, 132])

/**
 * A broker that is there already, for MQTT 5 or 3.1.1. The client asks for messages of QoS 1 and acknowledges each when its
 * reading is on disk, one after the other; the broker keeps the rest meanwhile. When the cellar dies, the broker says so
 * by its last will. A broker that comes back may have forgotten what it retained, and has missed what could not be sent: the
 * latest command of each topic is given to it anew. Resolves when it is connected, or when the first attempt has failed.
 */
export async function externalBroker(options: ExternalBrokerOptions): Promise<MqttDoor> {
  const {
    clock,
    intake,
    vessels,
    onHeard,
    url,
    username,
    password,
    ca,
    clientId,
    version = 5,
    onReach,
  } = options
  let messages = 0
  const settings: IClientOptions = {
    clientId,
    clean: false,
    protocolVersion: version,
    ...(version === 5 ? { properties: { sessionExpiryInterval: SESSION_LASTS_S } } : {}),
    ...(username === undefined ? {} : { username }),
    ...(password === undefined ? {} : { password }),
    ...(ca === undefined ? {} : { ca }),
    keepalive: KEEPALIVE_S,
    connectTimeout: CONNECT_WITHIN_MS,
    // What is wrong there, a password or a full broker, may be mended.
    reconnectOnConnackError: true,
    resubscribe: true,
    will: { topic: CELLAR_TOPIC, payload: Buffer.from('away'), qos: 1, retain: true },
  }
  const client = connect(url, settings)
  const latest = new Map<string, string>()
  const publish: MqttDoor['publish'] = (topic, payload, { retain = false } = {}) => {
    if (retain) latest.set(topic, payload)
    return send(topic, payload, retain)
  }
  const send = (topic: string, payload: string, retain: boolean) =>
    new Promise<string | null>(resolve => {
      if (!client.connected) return resolve('the MQTT broker can not be reached')
      const patience = setTimeout(() => resolve('the MQTT broker does not answer'), PUBLISH_WITHIN_MS)
      client.publish(topic, payload, { qos: 1, retain }, error => {
        clearTimeout(patience)
        resolve(error ? error.message : null)
      })
    })
  const refused = new RefusedTopic(clock, (topic, payload) => void publish(topic, payload))
  const ear = new Ear({ clock, intake, vessels, refused, ...(onHeard === undefined ? {} : { onHeard }) })
  const listening = new Set<string>()
  const watchers = new Set<(news: BrokerNews) => void>()
  /** The settings of a vessel may have got a new topic since the last time. */
  const listen = () => {
    const filters = [...READING_FILTERS, REPORT_FILTER, ...ear.ownTopics().keys()].filter(
      topic => !listening.has(topic),
    )
    if (filters.length === 0) return
    for (const filter of filters) listening.add(filter)
    client.subscribe(filters, { qos: 1 }, error => {
      if (error) listening.clear()
    })
  }
  /** Cut from this side, to come again in a moment: that readings can not be stored is no problem of the broker. */
  let isCutHere = false
  // Before it is connected: a broker sends what it has kept at once.
  client.handleMessage = (packet, callback) => {
    messages++
    listen()
    const { topic, payload } = packet
    const read = readTopic(topic)
    if (read.kind === 'report') {
      const news: BrokerNews = {
        kind: 'report',
        topic: commandTopic(read.vessel, read.appliance),
        payload: payload.toString(),
      }
      // A report that the broker has kept says what was so at some time.
      if (!packet.retain) for (const watcher of watchers) watcher(news)
      callback()
      return
    }
    ear.hear(topic, typeof payload === 'string' ? Buffer.from(payload) : payload).then(
      () => callback(),
      (problem: unknown) => {
        // Not acknowledged: the broker sends it again on the next connection.
        callback(problem instanceof Error ? problem : new Error(String(problem)))
        isCutHere = true
        client.stream.destroy()
      },
    )
  }
  const { promise: tried, resolve: goOn } = Promise.withResolvers<void>()
  let told: string | null = null
  let hasConnected = false
  let isClosing = false
  const tell = (problem: string | null) => {
    const isNew = (told === null) !== (problem === null)
    told = problem
    if (isNew && !isClosing) onReach(problem === null ? null : `${url}: ${problem}`)
  }
  client.on('connect', () => {
    hasConnected = true
    tell(null)
    listening.clear()
    void send(CELLAR_TOPIC, 'here', true)
    // The fence of each command says which is the latest, and its lease how long it holds.
    for (const [topic, payload] of latest) void send(topic, payload, true)
    listen()
    // Not only once it has subscribed: what the broker has kept comes before that, and waits for whoever waits for this door.
    goOn()
  })
  client.on('error', error => {
    const { code } = error as { readonly code?: unknown }
    if (options.version === undefined && client.options.protocolVersion === 5 && UNKNOWN_VERSION.has(code)) {
      isCutHere = true
      client.options.protocolVersion = 4
      delete client.options.properties
      return
    }
    tell(error.message)
    goOn()
  })
  client.on('close', () => {
    if (isCutHere) {
      isCutHere = false
      return
    }
    tell(hasConnected ? 'the connection was lost' : 'it does not answer')
    goOn()
  })
  await tried

  return {
    port: null,
    publish,
    listening: () => null,
    onAppliance(watcher) {
      watchers.add(watcher)
      return () => watchers.delete(watcher)
    },
    lookAgain: () => undefined,
    counts: () => ({
      clients: client.connected ? 1 : 0,
      messages,
      dropped: 0,
      waiting: 0,
      refused: refused.counts,
    }),
    async close() {
      isClosing = true
      await send(CELLAR_TOPIC, 'away', true)
      await client.endAsync(!client.connected)
    },
  }
}
