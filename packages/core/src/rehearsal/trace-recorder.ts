import type { EngineState } from '../engine/contract.ts'
import type { Truth } from '../world/truth.ts'
import type { Trace } from './record.ts'
import type { Setup } from './setup.ts'

/** Writes down one value per sample while a run goes on. */
export class TraceRecorder {
  readonly #sample_s: number
  readonly #trace: Trace
  #count = 0
  #heaterOn_s = 0
  #coolerOn_s = 0
  highest_C = Number.NEGATIVE_INFINITY
  lowest_C = Number.POSITIVE_INFINITY

  constructor(setup: Setup) {
    const length = Math.ceil(setup.horizon_s / setup.sample_s) + 1
    this.#sample_s = setup.sample_s
    this.#trace = {
      beer_C: new Float32Array(length),
      gravity: new Float32Array(length),
      target_C: new Float32Array(length),
      heater: new Float32Array(length),
      cooler: new Float32Array(length),
    }
  }

  sample(truth: Truth, state: EngineState): void {
    const n = this.#count++
    const { beer_C, gravity, target_C, heater, cooler } = this.#trace
    beer_C[n] = truth.beer_C
    gravity[n] = truth.gravity_SG
    target_C[n] = state.target_C ?? Number.NaN
    heater[n] = (truth.heater.onTime_s - this.#heaterOn_s) / this.#sample_s
    cooler[n] = (truth.cooler.onTime_s - this.#coolerOn_s) / this.#sample_s
    this.#heaterOn_s = truth.heater.onTime_s
    this.#coolerOn_s = truth.cooler.onTime_s
    if (truth.beer_C > this.highest_C) this.highest_C = truth.beer_C
    if (truth.beer_C < this.lowest_C) this.lowest_C = truth.beer_C
  }

  finish(): Trace {
    const cut = (values: Float32Array) => values.slice(0, this.#count)
    const { beer_C, gravity, target_C, heater, cooler } = this.#trace
    return {
      beer_C: cut(beer_C),
      gravity: cut(gravity),
      target_C: cut(target_C),
      heater: cut(heater),
      cooler: cut(cooler),
    }
  }
}
