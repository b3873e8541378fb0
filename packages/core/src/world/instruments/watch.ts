import type { Stands } from '../../engine/contract.ts'
import { noiseAt } from '../../random/hash-noise.ts'
import { FINE_S } from '../heat/step-table.ts'
import type { Physics } from '../physics.ts'
import type { ChannelErrors } from './channel-errors.ts'
import { Reach } from './reach.ts'
import type { TruthOfChannels } from './truth-of-channels.ts'

/**
 * Finds the first reading that leaves the bounds within which an answer of the engine stands, without looking at those
 * readings of which it is proved that they can not.
 */
export class Watch {
  readonly #physics: Physics
  readonly #truth: TruthOfChannels
  readonly #errors: readonly ChannelErrors[]
  readonly #lower: Float64Array
  readonly #upper: Float64Array
  /** By channel, whole seconds. */
  readonly silence_s: Float64Array
  readonly #reach = new Reach()

  constructor(physics: Physics, truth: TruthOfChannels, errors: readonly ChannelErrors[]) {
    this.#physics = physics
    this.#truth = truth
    this.#errors = errors
    this.#lower = new Float64Array(errors.length)
    this.#upper = new Float64Array(errors.length)
    this.silence_s = new Float64Array(errors.length)
  }

  load(stands: Stands): void {
    for (let channel = 0; channel < this.#lower.length; channel++) {
      this.#lower[channel] = stands.lower[channel] ?? Number.NEGATIVE_INFINITY
      this.#upper[channel] = stands.upper[channel] ?? Number.POSITIVE_INFINITY
      const silence_s = stands.silence_s[channel] ?? Number.POSITIVE_INFINITY
      this.silence_s[channel] = Math.max(1, Math.ceil(silence_s))
    }
  }

  /**
   * The first of the readings at `next_s`, `next_s + step_s` ... `last_s` that lies outside, or 0. `k` is the number of
   * the first one, and goes on by `stride`. All lie between the anchor and the next event.
   */
  firstOutside(
    channel: number,
    next_s: number,
    last_s: number,
    step_s: number,
    k: number,
    stride: number,
  ): number {
    const lower = this.#lower[channel]!
    const upper = this.#upper[channel]!
    if (!(lower < upper)) return next_s
    if (lower === Number.NEGATIVE_INFINITY && upper === Number.POSITIVE_INFINITY) return 0
    const errors = this.#errors[channel]!
    if (errors.isStuck()) return errors.stuckAt > lower && errors.stuckAt < upper ? 0 : next_s
    const row = this.#truth.rows[channel]!
    if (row < 0) return this.#firstOfOthers(channel, next_s, last_s, step_s, k, stride)
    this.#reach.within(this.#physics.anchor.present, row, 0, true)
    if (this.#mayCross(channel, next_s, last_s)) {
      return this.#minuteByMinute(channel, row, next_s, last_s, step_s, k, stride)
    }
    return 0
  }

  /** Gravity runs straight within a step of the kinetics; the other quantities are constant or follow it. */
  #firstOfOthers(
    channel: number,
    next_s: number,
    last_s: number,
    step_s: number,
    k: number,
    stride: number,
  ): number {
    const from = this.#truth.at(channel, next_s)
    const to = this.#truth.at(channel, last_s)
    this.#reach.between(from, to)
    if (!this.#mayCross(channel, next_s, last_s)) return 0
    return this.#search(channel, next_s, last_s, step_s, k, stride)
  }

  #minuteByMinute(
    channel: number,
    row: number,
    next_s: number,
    last_s: number,
    step_s: number,
    first: number,
    stride: number,
  ): number {
    const { present } = this.#physics.anchor
    let from_s = next_s
    let k = first
    while (from_s <= last_s) {
      const minute = Math.floor((from_s - present.at_s) / FINE_S)
      const to_s = Math.min(last_s, present.at_s + FINE_S * (minute + 1))
      this.#reach.within(present, row, minute, false)
      if (this.#mayCross(channel, from_s, to_s)) {
        const outside_s = this.#search(channel, from_s, to_s, step_s, k, stride)
        if (outside_s > 0) return outside_s
      }
      const readings = Math.floor((to_s - from_s) / step_s) + 1
      from_s += readings * step_s
      k += readings * stride
    }
    return 0
  }

  /** From where the truth can be: could noise and the display carry a reading across a bound? */
  #mayCross(channel: number, from_s: number, to_s: number): boolean {
    const errors = this.#errors[channel]!
    const spread = errors.spread(this.#truth.foaming(channel))
    const shiftFrom = errors.shift(from_s)
    const shiftTo = errors.shift(to_s)
    return !(
      this.#reach.lowest + Math.min(shiftFrom, shiftTo) - spread > this.#lower[channel]! &&
      this.#reach.highest + Math.max(shiftFrom, shiftTo) + spread < this.#upper[channel]!
    )
  }

  /** Only readings with enough noise to cross a bound from the edge of where the truth can be are worked out. */
  #search(
    channel: number,
    next_s: number,
    last_s: number,
    step_s: number,
    first: number,
    stride: number,
  ): number {
    const truths = this.#truth
    const errors = this.#errors[channel]!
    const foaming = truths.foaming(channel)
    const lower = this.#lower[channel]!
    const upper = this.#upper[channel]!
    const shiftFrom = errors.shift(next_s)
    const shiftTo = errors.shift(last_s)
    const highest = this.#reach.highest + Math.max(shiftFrom, shiftTo)
    const lowest = this.#reach.lowest + Math.min(shiftFrom, shiftTo)
    const up = errors.noiseNeeded(highest, upper, foaming)
    const down = -errors.noiseNeeded(-lowest, -lower, foaming)
    const key = errors.noiseKey
    let k = first
    for (let t_s = next_s; t_s <= last_s; t_s += step_s) {
      const noise = noiseAt(key, k)
      if (noise >= up || noise <= down) {
        const value = errors.reading(truths.at(channel, t_s), t_s, k, foaming)
        if (!(value > lower && value < upper)) return t_s
      }
      k += stride
    }
    return 0
  }
}
