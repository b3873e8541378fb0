import type { Stands } from '../../engine/contract.ts'
import { noiseAt } from '../../random/hash-noise.ts'
import type { Physics } from '../physics.ts'
import type { ChannelErrors } from './channel-errors.ts'
import { LONG_REACH_S, Reach, SHORT_REACH_S } from './reach.ts'
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
  readonly silence_s: Float64Array
  /** By channel: up to this second no reading can leave its bounds. */
  readonly #proved_s: Float64Array
  readonly #reach: Reach
  #version = -1
  /** Where the truth of the channel last looked at stays until the next event, for certain. */
  #lowest = 0
  #highest = 0

  constructor(physics: Physics, truth: TruthOfChannels, errors: readonly ChannelErrors[]) {
    this.#physics = physics
    this.#truth = truth
    this.#errors = errors
    this.#lower = new Float64Array(errors.length)
    this.#upper = new Float64Array(errors.length)
    this.silence_s = new Float64Array(errors.length)
    this.#proved_s = new Float64Array(errors.length)
    this.#reach = new Reach()
  }

  /** null: nothing is watched. */
  load(stands: Stands | null): void {
    for (let channel = 0; channel < this.#lower.length; channel++) {
      this.#lower[channel] = stands?.lower[channel] ?? Number.NEGATIVE_INFINITY
      this.#upper[channel] = stands?.upper[channel] ?? Number.POSITIVE_INFINITY
      const silence_s = stands?.silence_s[channel] ?? Number.POSITIVE_INFINITY
      this.silence_s[channel] = Math.max(1, Math.ceil(silence_s))
    }
    this.#forget()
  }

  /**
   * The first of the readings at `next_s`, `next_s + step_s` ... `last_s` that lies outside, or 0. `k` is the number of
   * the first one, and goes on by `stride`.
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
    if (this.#version !== this.#physics.version) this.#forget()
    if (this.#proved_s[channel]! >= last_s) return 0
    if (this.#prove(channel) >= last_s) return 0
    return this.#search(channel, next_s, last_s, step_s, k, stride)
  }

  /** Up to this second no reading of the channel can leave its bounds. */
  clearUntil_s(channel: number): number {
    const unbounded =
      this.#lower[channel] === Number.NEGATIVE_INFINITY && this.#upper[channel] === Number.POSITIVE_INFINITY
    return unbounded || this.#errors[channel]!.isStuck() ? Number.POSITIVE_INFINITY : this.#proved_s[channel]!
  }

  #forget(): void {
    this.#version = this.#physics.version
    this.#proved_s.fill(Number.NEGATIVE_INFINITY)
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
    const highest = this.#highest + Math.max(shiftFrom, shiftTo)
    const lowest = this.#lowest + Math.min(shiftFrom, shiftTo)
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

  /** Returns, and keeps, the last second for which the bounds are proved. */
  #prove(channel: number): number {
    const { anchor } = this.#physics
    const row = this.#truth.rows[channel]!
    if (row < 0) {
      // Gravity runs straight within a step of the kinetics, the others are constant or follow it.
      const from = this.#truth.at(channel, anchor.at_s)
      const to = this.#truth.at(channel, anchor.at_s + SHORT_REACH_S)
      return this.#keep(channel, Math.min(from, to), Math.max(from, to), SHORT_REACH_S)
    }
    const value = anchor.state[row]!
    this.#reach.within(this.#physics, row, true)
    const long_s = this.#keep(channel, value - this.#reach.fall_K, value + this.#reach.rise_K, LONG_REACH_S)
    if (long_s > anchor.at_s) return long_s
    this.#reach.within(this.#physics, row, false)
    return this.#keep(channel, value - this.#reach.fall_K, value + this.#reach.rise_K, SHORT_REACH_S)
  }

  #keep(channel: number, lowest: number, highest: number, length_s: number): number {
    this.#lowest = lowest
    this.#highest = highest
    const errors = this.#errors[channel]!
    const from_s = this.#physics.anchor.at_s
    const to_s = from_s + length_s
    const spread = errors.spread(this.#truth.foaming(channel))
    const shiftFrom = errors.shift(from_s)
    const shiftTo = errors.shift(to_s)
    if (
      lowest + Math.min(shiftFrom, shiftTo) - spread > this.#lower[channel]! &&
      highest + Math.max(shiftFrom, shiftTo) + spread < this.#upper[channel]!
    ) {
      this.#proved_s[channel] = to_s
      return to_s
    }
    return from_s - 1
  }
}
