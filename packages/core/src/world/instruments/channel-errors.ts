import { noiseAt, streamKey } from '../../random/hash-noise.ts'
import type { Channel } from '../../vessel/vessel.ts'
import type { PlantChannel } from '../plant.ts'
import { STREAM } from '../setup.ts'

const DAY_S = 86_400
/** Noise is never more than this many standard deviations. */
const NOISE_BOUND = 3
/** Far above the rounding of doubles, far below any instrument. */
const ROUNDING = 1e-9

/** What one channel makes of the truth: bias, drift, noise, foam, and the steps of its display. */
export class ChannelErrors {
  /** While the channel is stuck: what it repeats; otherwise NaN. */
  stuckAt = Number.NaN
  readonly #bias: number
  readonly #drift_per_s: number
  readonly noise: number
  readonly #foam: number
  readonly resolution: number
  readonly noiseKey: number
  readonly #foamKey: number
  readonly #start_s: number

  constructor(channel: Channel, plant: PlantChannel, seed: number, number: number, start_s: number) {
    this.#bias = plant.bias
    this.#drift_per_s = plant.drift_per_day / DAY_S
    this.noise = channel.noise * plant.noise
    this.#foam = channel.foam * plant.noise
    this.resolution = channel.resolution
    this.noiseKey = streamKey(seed, STREAM.noise + number)
    this.#foamKey = streamKey(seed, STREAM.foam + number)
    this.#start_s = start_s
  }

  /** The k-th reading, `foaming` 0 to 1. */
  reading(truth: number, t_s: number, k: number, foaming: number): number {
    if (this.isStuck()) return this.stuckAt
    let value = truth + this.shift(t_s) + this.noise * noiseAt(this.noiseKey, k)
    const foam = this.#foam * foaming
    if (foam > 0) value += foam * noiseAt(this.#foamKey, k)
    const step = this.resolution
    return step > 0 ? Math.round(value / step) * step : value
  }

  isStuck(): boolean {
    return !Number.isNaN(this.stuckAt)
  }

  /** Bias and drift. */
  shift(t_s: number): number {
    return this.#bias + this.#drift_per_s * (t_s - this.#start_s)
  }

  /**
   * A noise of at least this many standard deviations may lift a reading to `bound` when truth + shift is at most `centre`.
   * Below it, it can not. For the other side pass both negated.
   */
  noiseNeeded(centre: number, bound: number, foaming: number): number {
    const rest = this.spread(foaming) - NOISE_BOUND * this.noise
    return (bound - centre - rest) / Math.max(this.noise, Number.MIN_VALUE)
  }

  /** No reading is further than this from truth + shift. */
  spread(foaming: number): number {
    return NOISE_BOUND * (this.noise + this.#foam * foaming) + 0.5 * this.resolution + ROUNDING
  }
}
