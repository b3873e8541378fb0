import { randomBytes } from 'node:crypto'
import { externalBroker } from '../doors/mqtt/external-broker.ts'
import type { MqttDoor, MqttDoorParts } from '../doors/mqtt/mqtt-door.ts'
import type { Store } from '../store/store.ts'

/** A broker of the brewer's own, which is used instead of one of the cellar's. */
export interface BrewersBroker {
  /** mqtt://HOST:PORT or mqtts://HOST:PORT, without a name or a password in it. */
  readonly url: string
  readonly username?: string
  readonly password?: string
  /** Texts of certificates (PEM) that the broker's own is checked against. Left out: those of the platform. */
  readonly ca?: string
}

const DOCUMENT = 'mqtt-client'

/** The door through that broker. It opens although the broker is away: batches that run must be looked after all the same. */
export function brewersBroker(
  broker: BrewersBroker,
  parts: MqttDoorParts,
  store: Pick<Store, 'getDocument' | 'putDocument'>,
  onReach: (problem: string | null) => void,
): Promise<MqttDoor> {
  return externalBroker({ ...parts, ...broker, clientId: clientIdOf(store), onReach })
}

/** The broker keeps by this name what comes in while the cellar is away. Letters and digits: MQTT 3.1.1 promises no others. */
function clientIdOf(store: Pick<Store, 'getDocument' | 'putDocument'>): string {
  const kept = store.getDocument(DOCUMENT)
  if (kept !== null) return kept
  const id = `attemper${randomBytes(4).toString('hex')}`
  store.putDocument(DOCUMENT, id)
  return id
}
