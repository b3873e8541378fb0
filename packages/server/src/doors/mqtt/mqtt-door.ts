import type { Clock } from '../../live/clock.ts'
import type { VesselRecord } from '../../store/store.ts'
import type { Heard } from '../heard-messages.ts'
import type { Intake, RefusalCode } from '../report.ts'
import type { Permission } from './permission.ts'

/**
 * The door of MQTT, through a broker of its own or one that is there already. Readings are acknowledged (QoS 1 and 2) only
 * when they are on disk; what is refused is told on attemper/VESSEL/refused.
 */
export interface MqttDoor {
  /** Of the broker of its own; null: the broker is another program. */
  readonly port: number | null
  /** Resolves when the broker has it; otherwise says what was in the way. Never rejects. */
  publish(topic: string, payload: string, options?: PublishOptions): Promise<string | null>
  /** Whether an appliance listens to its commands on this topic; null: only a broker of its own can tell. */
  listening(topic: string): Listening | null
  /** Told of what appliances do without being asked; returns how to stop it. */
  onAppliance(listener: (news: BrokerNews) => void): () => void
  counts(): MqttCounts
  /** Sends away the clients that would not be let in any more. */
  lookAgain(): void
  close(): Promise<void>
}

export interface Listening {
  readonly listens: boolean
  /** It has asked for a quality of service with which it acknowledges each command (QoS 1 or 2). */
  readonly takesReceipt: boolean
}

/** `topic` is that of the command. */
export type BrokerNews =
  /** Somebody has come, gone, or listens to something else. */
  | { readonly kind: 'listeners' }
  | { readonly kind: 'receipt' | 'report'; readonly topic: string; readonly payload: string }

export interface PublishOptions {
  readonly retain?: boolean
}

export interface MqttCounts {
  readonly clients: number
  readonly messages: number
  /** Dropped, because their client sent too many. */
  readonly dropped: number
  /** Messages that wait in memory for clients that are away. */
  readonly waiting: number
  /** Readings, by why they were refused. */
  readonly refused: ReadonlyMap<RefusalCode, number>
}

export interface MqttDoorParts {
  readonly clock: Clock
  readonly intake: Intake
  readonly vessels: () => readonly VesselRecord[]
  /** Told of each message that came in, and of what was made of it. */
  readonly onHeard?: (heard: Heard) => void
}

/** Whom a name and a password from an address belong to; null: to nobody, or too many have been tried. */
export type Authenticate = (
  username: string | undefined,
  password: string | undefined,
  address: string,
) => Admitted | null | Promise<Admitted | null>

export interface Admitted {
  readonly who: Permission
  /** Whether it would be let in again: its token or its person may have been removed meanwhile. */
  readonly isStillRight: () => boolean
}
