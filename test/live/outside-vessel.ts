import type { Beer } from '@attemper/core/beer/beer.ts'
import type { Command } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { VesselWorld } from '@attemper/server/demo/vessel-world.ts'
import { commandHeard } from '@attemper/server/doors/appliance/command-message.ts'
import { commandTopic } from '@attemper/server/doors/mqtt/topics.ts'
import { slugOf } from '@attemper/server/doors/slug.ts'
import { fastClock } from '@attemper/server/live/clock.ts'
import { connect } from 'mqtt'
import type { Addresses } from './cellar-process.ts'

const TICK_MS = 25
const MOST_AT_ONCE = 500
/** Longer than the messages that are kept for a vessel take to reach it. */
const HEARS_OUT_MS = 60

/** A reading as it was sent: `INSTRUMENT/QUANTITY`, the second, and the value. */
export interface Sent {
  readonly stream: string
  readonly at_s: number
  readonly value: number
}

/**
 * A simulated vessel outside of the cellar, that keeps what it could not hand in, and remembers what was acknowledged. It
 * goes on while the cellar is away; a new one on the same ports is spoken to as soon as it answers.
 */
export class OutsideVessel {
  readonly acknowledged: Sent[] = []
  readonly sent: Sent[] = []
  /** Times at which heater and cooler were both on, s. */
  readonly bothOn_s: number[] = []
  readonly #world: VesselWorld
  readonly #clock
  readonly #url: string
  readonly #vessel: Vessel
  readonly #mqtt
  readonly #timer
  #heard: Command[] = []
  #hearsUntil_ms = 0
  #waiting: Sent[] = []
  #isSending: Promise<void> | null = null

  constructor(
    { url, mqttUrl, clock }: Addresses,
    vessel: Vessel,
    beer: Beer,
    options: { readonly pitchedBefore_s: number; readonly seed: number },
  ) {
    this.#clock = fastClock(clock.origin_ms, clock.realOrigin_ms, clock.speed)
    this.#url = url
    this.#vessel = vessel
    this.#world = new VesselWorld(vessel, beer, this.now_s - options.pitchedBefore_s, options.seed)
    this.#world.liveThrough(this.now_s)
    this.#mqtt = connect(mqttUrl, { reconnectPeriod: 50, resubscribe: true })
    this.#mqtt.on('error', () => undefined)
    this.#mqtt.on('connect', () => {
      this.#hearsUntil_ms = Date.now() + HEARS_OUT_MS
    })
    this.#mqtt.on('message', (topic, payload) => this.#hear(topic, payload.toString()))
    this.#mqtt.subscribe(['heater', 'cooler', 'thermostat'].map(each => commandTopic(vessel.name, each)))
    this.#timer = setInterval(() => this.#live(), TICK_MS)
  }

  get now_s(): number {
    return Math.floor(this.#clock.now_ms() / 1000)
  }

  async close(): Promise<void> {
    clearInterval(this.#timer)
    await this.#isSending
    await this.#mqtt.endAsync(true)
  }

  #hear(topic: string, text: string): void {
    const appliance = topic.split('/').at(-1) as ApplianceName
    const command = commandHeard(appliance, text)
    if (command !== null) this.#heard.push(command)
  }

  /**
   * What was kept for a vessel while it was cut off comes in any order. It hears it out before it switches anything on, and
   * switches off before it switches on; heater and cooler would be on together for a moment otherwise.
   */
  #obey(): void {
    if (Date.now() < this.#hearsUntil_ms) return
    const isOn = (command: Command) => Number(command.appliance !== 'thermostat' && command.on)
    const commands = this.#heard.toSorted((a, b) => isOn(a) - isOn(b) || a.fence - b.fence)
    this.#heard = []
    for (const command of commands) this.#world.obey(command)
  }

  #live(): void {
    const reported = this.#world.advanceTo(this.now_s).filter(({ from }) => !from.instrument.byHand)
    this.#obey()
    const { heater, cooler } = this.#world.truth
    if (heater.on && cooler.on) this.bothOn_s.push(this.now_s)
    for (const { from, value, at_s } of reported) {
      this.#waiting.push({ stream: `${from.instrument.name}/${from.channel.quantity}`, at_s, value })
    }
    if (this.#waiting.length > 0 && this.#isSending === null) {
      this.#isSending = this.#send().finally(() => {
        this.#isSending = null
      })
    }
  }

  async #send(): Promise<void> {
    const batch = this.#waiting.slice(0, MOST_AT_ONCE)
    this.sent.push(...batch)
    const records = batch.map(({ stream, at_s, value }) => ({ n: nameOf(stream), t: at_s, v: value }))
    try {
      const response = await fetch(`${this.#url}/readings?vessel=${slugOf(this.#vessel.name)}`, {
        method: 'POST',
        headers: { 'content-type': 'application/senml+json' },
        body: JSON.stringify(records),
        signal: AbortSignal.timeout(5_000),
      })
      if (!response.ok) throw new Error(await response.text())
      const { refused } = (await response.json()) as { refused: readonly { message: string }[] }
      if (refused.length > 0) throw new Error(refused[0]!.message)
    } catch {
      // Whether they were stored is not known: they are sent again.
      return
    }
    this.acknowledged.push(...batch)
    this.#waiting = this.#waiting.slice(batch.length)
  }
}

function nameOf(stream: string): string {
  return stream.split('/').map(slugOf).join('/')
}
