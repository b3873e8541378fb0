import type { NumberedChannel } from '../../vessel/channels.ts'
import { FIRST_THERMOMETER } from '../heat/vessel-network.ts'
import type { Physics } from '../physics.ts'
import type { Plant } from '../plant.ts'
import { acidity_pH, coolerElectric_W, type QuantityModel, quantityModel } from './quantity-model.ts'

/** What each channel would read if it had no error but its lag. */
export class TruthOfChannels {
  readonly models: readonly QuantityModel[]
  /** By channel: its row among the followers of the heat network, -1: not a thermometer. */
  readonly rows: Int32Array
  readonly #physics: Physics
  readonly #plant: Plant

  constructor(channels: readonly NumberedChannel[], physics: Physics, plant: Plant) {
    this.#physics = physics
    this.#plant = plant
    this.models = channels.map(({ channel }) => quantityModel(channel))
    this.rows = new Int32Array(channels.length).fill(-1)
    let row = FIRST_THERMOMETER
    this.models.forEach((model, channel) => {
      if (model === 'temperature') this.rows[channel] = row++
    })
  }

  /** Between the anchor and the next event. */
  at(channel: number, t_s: number): number {
    const row = this.rows[channel]!
    if (row >= 0) return this.#physics.valueAt(row, t_s)
    const { fermenter, conditions } = this.#physics
    const model = this.models[channel]!
    if (model === 'gravity') return conditions.inWort[channel] ? fermenter.gravityAt(t_s) : 1
    if (model === 'power') return this.#power_W()
    return acidity_pH(this.#progress(t_s))
  }

  /** How much foam disturbs the channel, 0 to 1. */
  foaming(channel: number): number {
    if (this.models[channel] !== 'gravity' || !this.#physics.conditions.inWort[channel]) return 0
    return this.#physics.fermenter.activity
  }

  #power_W(): number {
    const { heater, cooler } = this.#physics
    return (
      (heater.on ? this.#plant.heaterPower_W : 0) +
      (cooler.on ? coolerElectric_W(this.#plant.coolerPower_W) : 0)
    )
  }

  #progress(t_s: number): number {
    const { fermenter } = this.#physics
    const range = fermenter.original_SG - fermenter.final_SG
    return range > 0 ? (fermenter.original_SG - fermenter.gravityAt(t_s)) / range : 0
  }
}

/** The channels that are thermometers, in order: followers of the heat network. */
export function thermometerChannels(channels: readonly NumberedChannel[]): number[] {
  return channels
    .filter(({ channel }) => quantityModel(channel) === 'temperature')
    .map(({ number }) => number)
}
