import { uniformAt } from '../../random/hash-noise.ts'

const DAY_S = 86_400

/**
 * Gaps in the radio or in the power of one instrument: a renewal process with exponential distances and lengths. The n-th
 * outage is a function of the stream and of the outages before it, so it is there before anybody looks.
 */
export class Outages {
  /** The outage that is on, or the next one. Infinity: there will be none. */
  from_s: number
  to_s: number
  readonly #key: number
  readonly #distance_s: number
  readonly #length_s: number
  #drawn = 0

  constructor(key: number, perDay: number, length_s: number, start_s: number) {
    this.#key = key
    this.#distance_s = perDay > 0 && length_s > 0 ? DAY_S / perDay : Number.POSITIVE_INFINITY
    this.#length_s = length_s
    this.from_s = start_s
    this.to_s = start_s
    this.advancePast(start_s)
  }

  /** Goes on to the first outage that ends after `t_s`. */
  advancePast(t_s: number): void {
    while (this.to_s <= t_s) {
      if (this.#distance_s === Number.POSITIVE_INFINITY) {
        this.from_s = Number.POSITIVE_INFINITY
        this.to_s = Number.POSITIVE_INFINITY
        return
      }
      this.from_s = this.to_s + Math.ceil(this.#distance_s * this.#exponential())
      this.to_s = this.from_s + Math.ceil(this.#length_s * this.#exponential())
    }
  }

  #exponential(): number {
    return -Math.log(1 - uniformAt(this.#key, this.#drawn++))
  }
}
