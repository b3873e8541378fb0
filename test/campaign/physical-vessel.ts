import type { Beer } from '@attemper/core/beer/beer.ts'
import type { Draw } from '@attemper/core/random/draw.ts'
import { listChannels, type NumberedChannel } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { Fault } from '@attemper/core/world/faults/fault.ts'
import { BEER } from '@attemper/core/world/heat/vessel-network.ts'
import { TruthOfChannels, thermometerChannels } from '@attemper/core/world/instruments/truth-of-channels.ts'
import { Physics } from '@attemper/core/world/physics.ts'
import { drawPlant } from '@attemper/core/world/plant.ts'
import type { WhyOff } from './devices.ts'

/** Kinetics in steps this long are as exact as a story needs (world/kinetics-step.test.ts). */
const KINETICS_S = 600
const FOR_EVER_S = 1e12

export type Part = 'heater' | 'cooler'

interface Contact {
  on: boolean
  /** When it last changed, true ms. */
  since_ms: number
  whyOff: WhyOff
  /** When it last went on, true ms. */
  onSince_ms: number
}

/**
 * A vessel as it really stands in the garage: its contacts, and while a beer is in it its heat and its fermentation. No
 * command reaches it but through a device.
 */
export class PhysicalVessel {
  readonly vessel: Vessel
  readonly channels: readonly NumberedChannel[]
  readonly heater: Contact
  readonly cooler: Contact
  /** Of the beer that is in it; null: it is empty. */
  physics: Physics | null = null
  #truth: TruthOfChannels | null = null
  #switchings = 0

  constructor(vessel: Vessel, now_ms: number) {
    this.vessel = vessel
    this.channels = listChannels(vessel)
    const contact = (): Contact => ({ on: false, since_ms: now_ms, whyOff: 'power', onSince_ms: now_ms })
    this.heater = contact()
    this.cooler = contact()
  }

  pitch(beer: Beer, faults: readonly Fault[], draw: Draw, now_ms: number): void {
    const plant = drawPlant(this.vessel, beer, draw)
    const start_s = Math.floor(now_ms / 1000)
    const setup = {
      vessel: this.vessel,
      beer,
      plant,
      faults,
      seed: draw.seed(),
      start_s,
      kineticsStep_s: KINETICS_S,
    }
    this.physics = new Physics(setup, this.channels, thermometerChannels(this.channels))
    this.#truth = new TruthOfChannels(this.channels, this.physics, plant)
    this.#apply('heater', now_ms)
    this.#apply('cooler', now_ms)
  }

  empty(): void {
    this.physics = null
    this.#truth = null
  }

  switch(part: Part, on: boolean, why: WhyOff, now_ms: number): void {
    const contact = this[part]
    if (contact.on === on) return
    contact.on = on
    contact.since_ms = now_ms
    if (on) contact.onSince_ms = now_ms
    else contact.whyOff = why
    this.#apply(part, now_ms)
  }

  /** What is on really heats or cools now: a welded contact does, a dead element does not. */
  runs(part: Part): boolean {
    return this.physics?.[part].on ?? this[part].on
  }

  beer_C(now_ms: number): number | null {
    const physics = this.#advance(now_ms)
    return physics === null ? null : physics.valueAt(BEER, Math.floor(now_ms / 1000))
  }

  /** What a channel would read without noise; null: there is no beer in the vessel. */
  reading(channel: number, now_ms: number): number | null {
    return this.#advance(now_ms) === null ? null : this.#truth!.at(channel, Math.floor(now_ms / 1000))
  }

  #apply(appliance: Part, now_ms: number): void {
    const physics = this.#advance(now_ms)
    const { on } = this[appliance]
    physics?.receive(
      [{ appliance, on, until_s: FOR_EVER_S, fence: this.#switchings++ }],
      Math.floor(now_ms / 1000),
    )
  }

  #advance(now_ms: number): Physics | null {
    const { physics } = this
    const now_s = now_ms / 1000
    if (physics !== null) while (physics.nextEvent_s <= now_s) physics.passEvent()
    return physics
  }
}
