import type { MqttClient } from 'mqtt'
import { packTopic, valueTopic } from '../doors/mqtt/topics.ts'
import { slugOf } from '../doors/slug.ts'
import type { Reported } from './vessel-world.ts'

const SENML = 'application/senml+json'
const HTTP_WITHIN_MS = 10_000
/** A float keeps what it could not send, like a real one that is out of reach. */
const MOST_KEPT = 1000

interface SenmlRecord {
  readonly n: string
  readonly u?: string
  readonly v: number
  readonly t: number
}

/**
 * How a simulated vessel speaks: like a real one, whose instruments come from different makers. One that measures gravity
 * sends SenML by HTTP, one of several quantities a SenML pack by MQTT, one of a single quantity its value by MQTT.
 */
export class VesselVoice {
  readonly #vessel: string
  readonly #mqtt: MqttClient
  readonly #readings: URL
  readonly #token: string | null
  #kept: SenmlRecord[] = []
  #isSending = false

  constructor(vessel: string, mqtt: MqttClient, http: string, token: string | null) {
    this.#vessel = vessel
    this.#mqtt = mqtt
    this.#readings = new URL('/readings', http)
    this.#token = token
  }

  say(reported: readonly Reported[]): void {
    const heard = reported.filter(({ from, value }) => Number.isFinite(value) && !from.instrument.byHand)
    for (const [instrument, readings] of Map.groupBy(heard, ({ from }) => from.instrument)) {
      if (instrument.channels.some(({ quantity }) => quantity === 'gravity')) {
        this.#kept.push(...readings.map(reading => this.#record(reading)))
      } else if (instrument.channels.length > 1) {
        const pack = readings.map(reading => this.#record(reading))
        this.#mqtt.publish(packTopic(this.#vessel), JSON.stringify(pack), { qos: 1 })
      } else {
        for (const { from, value, at_s } of readings) {
          const topic = valueTopic(this.#vessel, instrument.name, from.channel.quantity)
          this.#mqtt.publish(topic, JSON.stringify({ value, at: at_s }), { qos: 1 })
        }
      }
    }
    this.#kept = this.#kept.slice(-MOST_KEPT)
    if (this.#kept.length > 0 && !this.#isSending) void this.#send()
  }

  #record({ from, value, at_s }: Reported): SenmlRecord {
    const { instrument, channel } = from
    const n = [this.#vessel, instrument.name, channel.quantity].map(slugOf).join('/')
    return { n, ...(channel.unit === '°C' ? { u: 'Cel' } : {}), v: value, t: at_s }
  }

  async #send(): Promise<void> {
    this.#isSending = true
    const sending = this.#kept
    this.#kept = []
    try {
      const answer = await fetch(this.#readings, {
        method: 'POST',
        headers: {
          'content-type': SENML,
          ...(this.#token === null ? {} : { authorization: `Bearer ${this.#token}` }),
        },
        body: JSON.stringify(sending),
        signal: AbortSignal.timeout(HTTP_WITHIN_MS),
      })
      await answer.body?.cancel()
      // What was refused will be refused again; only a cellar in trouble gets it a second time.
      if (answer.status >= 500 || answer.status === 429) throw new Error(`${answer.status}`)
    } catch {
      this.#kept = [...sending, ...this.#kept].slice(-MOST_KEPT)
    } finally {
      this.#isSending = false
    }
  }
}
