import type { Beer } from '@attemper/core/beer/beer.ts'
import type { Command, ReadingInput, Stands } from '@attemper/core/engine/contract.ts'
import { drawFor } from '@attemper/core/random/draw.ts'
import { listChannels, type NumberedChannel } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { drawPlant } from '@attemper/core/world/plant.ts'
import type { Truth } from '@attemper/core/world/truth.ts'
import { World } from '@attemper/core/world/world.ts'

export interface Reported extends ReadingInput {
  readonly from: NumberedChannel
}

/** How the vessel was kept before the cellar took it over: within this of the temperature at which the beer began, K. */
const KEPT_WITHIN_K = 0.3
const LOOKED_AT_EVERY_S = 300

/** A vessel with its beer, which lives on by itself: it gives readings when they are due, and obeys commands. */
export class VesselWorld {
  readonly #world: World
  readonly #channels: readonly NumberedChannel[]
  /** Stop at each reading. */
  readonly #eachReading: Stands

  constructor(vessel: Vessel, beer: Beer, pitched_s: number, seed: number) {
    const plant = drawPlant(vessel, beer, drawFor(seed, 1))
    const start = { ...beer.start, local_s: pitched_s }
    this.#world = new World({ vessel, beer: { ...beer, start }, plant, faults: [], seed, start_s: pitched_s })
    this.#channels = listChannels(vessel)
    this.#eachReading = {
      until_s: Number.POSITIVE_INFINITY,
      lower: this.#channels.map(() => Number.POSITIVE_INFINITY),
      upper: this.#channels.map(() => Number.NEGATIVE_INFINITY),
      silence_s: this.#channels.map(() => Number.POSITIVE_INFINITY),
    }
  }

  get now_s(): number {
    return this.#world.now_s
  }

  get truth(): Truth {
    return this.#world.truth
  }

  /** What was due after now, up to a time. */
  advanceTo(t_s: number): readonly Reported[] {
    const reported: Reported[] = []
    while (this.#world.now_s < t_s) {
      this.#world.seek(this.#eachReading, t_s)
      for (const reading of this.#world.readingsAt(this.#world.now_s)) {
        reported.push({ ...reading, from: this.#channels[reading.channel]! })
      }
      this.#world.apply([])
    }
    return reported
  }

  obey(command: Command): void {
    this.#world.apply([command])
  }

  /** The days before the cellar took it over: somebody kept it at the temperature at which it began. */
  liveThrough(until_s: number): void {
    const kept_C = this.#world.truth.beer_C
    while (this.#world.now_s < until_s) {
      const { now_s } = this.#world
      const { beer_C, heater, cooler } = this.#world.truth
      const until = { until_s: now_s + 2 * LOOKED_AT_EVERY_S, fence: now_s }
      const cold_K = kept_C - beer_C
      this.#world.apply([
        { appliance: 'heater', on: cold_K > (heater.on ? 0 : KEPT_WITHIN_K), ...until },
        { appliance: 'cooler', on: -cold_K > (cooler.on ? 0 : KEPT_WITHIN_K), ...until },
        { appliance: 'thermostat', target_C: kept_C, ...until },
      ])
      this.#world.advanceTo(Math.min(until_s, now_s + LOOKED_AT_EVERY_S))
    }
  }
}
