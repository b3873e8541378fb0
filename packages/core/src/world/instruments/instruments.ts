import type { ReadingInput, Stands } from '../../engine/contract.ts'
import { streamKey } from '../../random/hash-noise.ts'
import type { NumberedChannel } from '../../vessel/channels.ts'
import type { Physics } from '../physics.ts'
import { localOffset_s, STREAM, type WorldSetup } from '../setup.ts'
import { ChannelErrors } from './channel-errors.ts'
import { Outages } from './outages.ts'
import { Schedule } from './schedule.ts'
import { TruthOfChannels } from './truth-of-channels.ts'
import { Watch } from './watch.ts'

/** All instruments of a vessel: when they report, and what. */
export class Instruments {
  readonly #physics: Physics
  readonly #truth: TruthOfChannels
  readonly #errors: readonly ChannelErrors[]
  readonly #schedules: readonly Schedule[]
  /** By instrument: its modelled channels. */
  readonly #channelsOf: readonly Int32Array[]
  readonly #watch: Watch
  /** By channel: each of its readings is to be handed over, not the latest alone. */
  #remembered: readonly boolean[] = []
  /** By instrument: it has such a channel. */
  readonly #isRemembered: boolean[]
  /** The readings of such channels that were passed since the engine was last called, in order. */
  #kept: ReadingInput[] = []
  /** By instrument: the shortest silence that matters, s. */
  readonly #shortestSilence_s: Float64Array
  /** By channel: the latest reading that was passed. */
  readonly #passedAt_s: Float64Array
  readonly #passedValue: Float64Array
  /** By channel: the number of that reading while its value has not been worked out, -1 when it has. */
  readonly #open: Int32Array
  /** By instrument: measures nothing but temperatures, which can be read off the anchor before. */
  readonly #onlyTemperatures: readonly boolean[]

  constructor(setup: WorldSetup, channels: readonly NumberedChannel[], physics: Physics) {
    const { vessel, plant, seed, start_s, faults, beer } = setup
    this.#physics = physics
    this.#truth = new TruthOfChannels(channels, physics, plant)
    this.#errors = channels.map(
      ({ channel, number }) => new ChannelErrors(channel, plant.channels[number]!, seed, number, start_s),
    )
    this.#schedules = vessel.instruments.map((instrument, number) => {
      const { phase_s, outagesPerDay } = plant.instruments[number]!
      return new Schedule({
        instrument,
        start_s,
        phase_s,
        outages: new Outages(
          streamKey(seed, STREAM.outages + number),
          outagesPerDay,
          instrument.outages.length_s,
          start_s,
        ),
        faults,
        brewer: beer.brewer,
        localOffset_s: localOffset_s(setup),
        key: streamKey(seed, STREAM.hand + number),
      })
    })
    this.#channelsOf = vessel.instruments.map(instrument =>
      Int32Array.from(
        channels
          .filter(entry => entry.instrument === instrument && this.#truth.models[entry.number] !== 'none')
          .map(entry => entry.number),
      ),
    )
    this.#watch = new Watch(physics, this.#truth, this.#errors)
    this.#isRemembered = vessel.instruments.map(() => false)
    this.#shortestSilence_s = new Float64Array(vessel.instruments.length)
    this.#passedAt_s = new Float64Array(channels.length).fill(Number.NEGATIVE_INFINITY)
    this.#passedValue = new Float64Array(channels.length)
    this.#open = new Int32Array(channels.length).fill(-1)
    this.#onlyTemperatures = this.#channelsOf.map(list =>
      list.every(number => this.#truth.rows[number]! >= 0),
    )
    this.conditionsChanged()
  }

  /** Call at the edge of a fault: a channel that gets stuck repeats what it would read now. */
  conditionsChanged(): void {
    const { anchor, conditions } = this.#physics
    for (let instrument = 0; instrument < this.#schedules.length; instrument++) {
      for (const channel of this.#channelsOf[instrument]!) {
        const errors = this.#errors[channel]!
        const stuck = conditions.stuck[channel]!
        if (stuck && !errors.isStuck()) {
          errors.stuckAt = this.#reading(channel, anchor.at_s, this.#schedules[instrument]!.index)
        } else if (!stuck) {
          errors.stuckAt = Number.NaN
        }
      }
    }
  }

  /** What `firstStop` looks for from now on. */
  watch(stands: Stands): void {
    this.#watch.load(stands)
    this.#remember(stands.remembers ?? NONE)
    for (let instrument = 0; instrument < this.#schedules.length; instrument++) {
      let shortest_s = Number.POSITIVE_INFINITY
      const channels = this.#channelsOf[instrument]!
      for (let n = 0; n < channels.length; n++) {
        shortest_s = Math.min(shortest_s, this.#watch.silence_s[channels[n]!]!)
      }
      this.#shortestSilence_s[instrument] = shortest_s
    }
  }

  #remember(remembered: readonly boolean[]): void {
    if (remembered === this.#remembered) return
    this.#remembered = remembered
    for (let instrument = 0; instrument < this.#channelsOf.length; instrument++) {
      this.#isRemembered[instrument] = this.#channelsOf[instrument]!.some(channel => remembered[channel])
    }
  }

  /** Until this second (not included) every instrument reports regularly. */
  regularUntil_s(): number {
    let until_s = Number.POSITIVE_INFINITY
    for (const schedule of this.#schedules) {
      if (schedule.regularUntil_s < until_s) until_s = schedule.regularUntil_s
    }
    return until_s
  }

  /**
   * The first second from `from_s` to `to_s` at which a reading lies outside its bounds or a silence becomes too long;
   * Infinity: none. Nothing switches, and no instrument changes its rhythm, in between.
   */
  firstStop(from_s: number, to_s: number): number {
    let stop_s = Number.POSITIVE_INFINITY
    let last_s = to_s
    for (let instrument = 0; instrument < this.#schedules.length; instrument++) {
      const schedule = this.#schedules[instrument]!
      const { next_s, step_s } = schedule
      const silence_s = this.#shortestSilence_s[instrument]!
      if (next_s - schedule.last_s > silence_s || step_s > silence_s) {
        const silent_s = this.#firstSilence(instrument, from_s)
        if (silent_s <= last_s) {
          stop_s = silent_s
          last_s = silent_s - 1
        }
      }
      const channels = this.#channelsOf[instrument]!
      if (next_s > last_s) continue
      for (let n = 0; n < channels.length && next_s <= last_s; n++) {
        const outside_s = this.#watch.firstOutside(
          channels[n]!,
          next_s,
          last_s,
          step_s,
          schedule.index,
          schedule.stride,
        )
        if (outside_s > 0) {
          stop_s = outside_s
          last_s = outside_s - 1
        }
      }
    }
    return stop_s
  }

  /** The first second, not before `from_s`, at which a channel's silence reaches its length; before the next but one report. */
  #firstSilence(instrument: number, from_s: number): number {
    const schedule = this.#schedules[instrument]!
    const { last_s, next_s, step_s } = schedule
    let first_s = Number.POSITIVE_INFINITY
    for (const channel of this.#channelsOf[instrument]!) {
      const silence_s = this.#watch.silence_s[channel]!
      const inThisGap_s = last_s + silence_s
      if (inThisGap_s >= from_s && inThisGap_s < next_s) first_s = Math.min(first_s, inThisGap_s)
      else if (silence_s < step_s) first_s = Math.min(first_s, next_s + silence_s)
    }
    return first_s
  }

  /**
   * Passes all reports up to `t_s`, not beyond the next event, and remembers the latest of each channel. A value that the
   * next report may replace is left open: most of them nobody ever asks for.
   */
  pass(t_s: number): void {
    for (let instrument = 0; instrument < this.#schedules.length; instrument++) {
      const schedule = this.#schedules[instrument]!
      const channels = this.#channelsOf[instrument]!
      if (schedule.next_s > t_s) {
        if (schedule.last_s < this.#physics.anchor.at_s) this.#settle(channels)
        continue
      }
      if (this.#isRemembered[instrument]!) {
        this.#passEach(schedule, channels, t_s)
        continue
      }
      schedule.advancePast(t_s)
      this.#leaveOpen(schedule, channels)
      if (!this.#onlyTemperatures[instrument]!) this.#settle(channels)
    }
  }

  /** The latest report that was passed. */
  #leaveOpen({ last_s, lastIndex }: Schedule, channels: Int32Array): void {
    for (let n = 0; n < channels.length; n++) {
      this.#passedAt_s[channels[n]!] = last_s
      this.#open[channels[n]!] = lastIndex
    }
  }

  #passEach(schedule: Schedule, channels: Int32Array, t_s: number): void {
    while (schedule.next_s <= t_s) {
      schedule.advancePast(schedule.next_s)
      this.#leaveOpen(schedule, channels)
      this.#settle(channels)
      for (let n = 0; n < channels.length; n++) {
        const channel = channels[n]!
        if (!this.#remembered[channel]) continue
        this.#kept.push({ channel, value: this.#passedValue[channel]!, at_s: schedule.last_s })
      }
    }
  }

  /** Works out all values that were left open: call it before the conditions change. */
  settle(): void {
    for (let n = 0; n < this.#channelsOf.length; n++) this.#settle(this.#channelsOf[n]!)
  }

  /** The engine knows all readings: what is still open nobody will ask for. */
  handedOver(): void {
    this.#open.fill(-1)
    if (this.#kept.length > 0) this.#kept = []
  }

  #settle(channels: Int32Array): void {
    for (let n = 0; n < channels.length; n++) {
      const channel = channels[n]!
      const k = this.#open[channel]!
      if (k < 0) continue
      this.#passedValue[channel] = this.#reading(channel, this.#passedAt_s[channel]!, k)
      this.#open[channel] = -1
    }
  }

  /** Reports due exactly at `now_s`, when all before it have been passed. */
  due(now_s: number): ReadingInput[] {
    const readings: ReadingInput[] = []
    for (let instrument = 0; instrument < this.#schedules.length; instrument++) {
      const schedule = this.#schedules[instrument]!
      if (schedule.next_s !== now_s) continue
      const channels = this.#channelsOf[instrument]!
      for (let n = 0; n < channels.length; n++) {
        const channel = channels[n]!
        readings.push({ channel, value: this.#reading(channel, now_s, schedule.index), at_s: now_s })
      }
    }
    return readings
  }

  /** Of the passed readings that were taken after `since_s`: each of a channel that is remembered, the latest of the others. */
  passedSince(since_s: number): ReadingInput[] {
    this.settle()
    const readings: ReadingInput[] = []
    for (const reading of this.#kept) if (reading.at_s > since_s) readings.push(reading)
    for (let channel = 0; channel < this.#passedAt_s.length; channel++) {
      const at_s = this.#passedAt_s[channel]!
      if (this.#remembered[channel] || at_s <= since_s) continue
      readings.push({ channel, value: this.#passedValue[channel]!, at_s })
    }
    return readings
  }

  #reading(channel: number, t_s: number, k: number): number {
    const truth = this.#truth
    return this.#errors[channel]!.reading(truth.at(channel, t_s), t_s, k, truth.foaming(channel))
  }
}

const NONE: readonly boolean[] = []
