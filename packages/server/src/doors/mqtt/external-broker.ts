import { connect, type IClientOptions } from 'mqtt'
import { Ear } from './ear.ts'
import type { MqttDoor, MqttDoorParts } from './mqtt-door.ts'
import { RefusedTopic } from './refused.ts'
import { CELLAR_TOPIC, READING_FILTERS } from './topics.ts'

export interface ExternalBrokerOptions extends MqttDoorParts {
  /** mqtt://HOST:PORT or mqtts://HOST:PORT */
  readonly url: string
  readonly username?: string
  readonly password?: string
  /** Stays the same over restarts, so that the broker keeps what comes in while the cellar is away. */
  readonly clientId: string
  /** Left out: 5. */
  readonly version?: 4 | 5
  /** Is told in a sentence why the broker can not be used; it is tried on. */
  readonly onProblem: (message: string) => void
}

/** How long a broker may take to accept a command. */
const PUBLISH_WITHIN_MS = 10_000
/** A week: what came in meanwhile is kept by the broker. */
const SESSION_LASTS_S = 7 * 86_400

/**
 * A broker that is there already, for MQTT 5 or 3.1.1. The client asks for messages of QoS 1 and acknowledges each when its
 * reading is on disk, one after the other; the broker keeps the rest meanwhile. When the cellar dies, the broker says so
 * by its last will. Resolves when it is connected, or when the first attempt has failed.
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
    clientId,
    version = 5,
    onProblem,
  } = options
  let messages = 0
  const settings: IClientOptions = {
    clientId,
    clean: false,
    protocolVersion: version,
    ...(version === 5 ? { properties: { sessionExpiryInterval: SESSION_LASTS_S } } : {}),
    ...(username === undefined ? {} : { username }),
    ...(password === undefined ? {} : { password }),
    resubscribe: true,
    will: { topic: CELLAR_TOPIC, payload: Buffer.from('away'), qos: 1, retain: true },
  }
  const client = connect(url, settings)
  const publish: MqttDoor['publish'] = (topic, payload, { retain = false } = {}) =>
    new Promise(resolve => {
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
  /** The settings of a vessel may have got a new topic since the last time. */
  const listen = (then?: () => void) => {
    const filters = [...READING_FILTERS, ...ear.ownTopics().keys()].filter(topic => !listening.has(topic))
    if (filters.length === 0) return
    for (const filter of filters) listening.add(filter)
    client.subscribe(filters, { qos: 1 }, error => {
      if (error) listening.clear()
      then?.()
    })
  }
  // Before it is connected: a broker sends what it has kept at once.
  client.handleMessage = (packet, callback) => {
    messages++
    listen()
    const { topic, payload } = packet
    ear.hear(topic, typeof payload === 'string' ? Buffer.from(payload) : payload).then(
      () => callback(),
      (problem: unknown) => {
        // Not acknowledged: the broker sends it again on the next connection.
        callback(problem instanceof Error ? problem : new Error(String(problem)))
        client.stream.destroy()
      },
    )
  }
  const { promise: tried, resolve: goOn } = Promise.withResolvers<void>()
  client.on('connect', () => {
    listening.clear()
    void publish(CELLAR_TOPIC, 'here', { retain: true })
    listen(goOn)
  })
  client.on('error', ({ message }) => {
    onProblem(`The MQTT broker at ${url} can not be used: ${message}. It is tried again and again.`)
    goOn()
  })
  client.on('close', goOn)
  await tried

  return {
    port: null,
    publish,
    listens: () => null,
    counts: () => ({ clients: client.connected ? 1 : 0, messages, dropped: 0, refused: refused.counts }),
    async close() {
      await publish(CELLAR_TOPIC, 'away', { retain: true })
      await client.endAsync(!client.connected)
    },
  }
}
