import type { Instrument } from '@attemper/core/vessel/vessel.ts'
import type { Report } from '@attemper/server/doors/report.ts'
import type { Draws } from './draws.ts'
import type { PhysicalVessel } from './physical-vessel.ts'

/** What an instrument does instead of saying the truth at once; 'well': it says it. */
export type Mood =
  | 'well'
  | 'silent'
  | 'stuck'
  | '85 °C'
  | '-127 °C'
  | 'doubled'
  | 'late'
  | 'out of order'
  | 'from the past'
  | 'from the future'
  | 'garbage'

/** When a report is told, and what it says. */
export interface Told {
  readonly report: Report
  readonly wait_ms: number
}

interface Channel {
  readonly number: number
  readonly quantity: string
  readonly noise: number
  readonly resolution: number
}

/** A device says a value at once when it has moved by so much, and otherwise only now and then, to show that it is alive. */
const MOVED: Readonly<Record<string, number>> = { beer: 0.5, gravity: 0.004 }
const LOOKS_S = 900

/** One device that measures: looks often, and speaks when there is something to say. */
export class InstrumentInPlace {
  readonly name: string
  readonly looks_s: number
  readonly quiet_s: number
  mood: Mood = 'well'
  moodUntil_ms = 0
  /** The latest moment at which it did not say the truth. */
  lied_ms = Number.NEGATIVE_INFINITY
  /** Its clock: null: it has none, and the cellar says when it heard. */
  readonly ahead_ms: number | null
  readonly channels: readonly Channel[]
  #said: readonly number[] | null = null
  #said_ms = Number.NEGATIVE_INFINITY
  #stuck: readonly number[] | null = null

  constructor(instrument: Instrument, vessel: PhysicalVessel, quiet_s: number, draws: Draws) {
    this.name = instrument.name
    this.looks_s = Math.min(quiet_s, Math.max(LOOKS_S, instrument.every_s))
    this.quiet_s = quiet_s
    this.ahead_ms = draws.chance(0.5) ? null : Math.round(draws.between(-3000, 3000))
    this.channels = vessel.channels
      .filter(each => each.instrument.name === instrument.name)
      .map(({ number, channel }) => ({
        number,
        quantity: channel.quantity,
        noise: channel.noise,
        resolution: channel.resolution,
      }))
  }

  get measuresBeer(): boolean {
    return this.channels.some(({ quantity }) => quantity === 'beer')
  }

  /** What it says now, as far as it says anything. */
  look(
    vessel: PhysicalVessel,
    name: string,
    now_ms: number,
    cellar_ms: number,
    draws: Draws,
  ): readonly Told[] {
    if (this.mood !== 'well' && now_ms >= this.moodUntil_ms) this.mood = 'well'
    if (this.mood !== 'well') this.lied_ms = now_ms
    const values = this.channels.map(channel => measured(channel, vessel, now_ms, draws))
    const isNews =
      this.#said === null ||
      now_ms - this.#said_ms >= this.quiet_s * 1000 ||
      values.some((value, n) => Math.abs(value - this.#said![n]!) >= (MOVED[this.channels[n]!.quantity] ?? 1))
    if (!isNews) return []
    this.#said = values
    this.#said_ms = now_ms
    if (this.mood !== 'stuck') this.#stuck = values
    return this.#distort(values, name, this.ahead_ms === null ? cellar_ms : now_ms + this.ahead_ms, draws)
  }

  #distort(values: readonly number[], vessel: string, at_ms: number, draws: Draws): readonly Told[] {
    const say = (said: readonly number[], when_ms: number, wait_ms: number): Told[] =>
      this.channels.map(({ quantity }, n) => ({
        report: {
          vessel,
          instrument: this.name,
          quantity,
          value: said[n]!,
          at_ms: Math.floor(when_ms),
          status: 'good',
        },
        wait_ms,
      }))
    const soon_ms = draws.between(10, 500)
    switch (this.mood) {
      case 'silent':
        return []
      case 'stuck':
        return say(this.#stuck ?? values, at_ms, soon_ms)
      case '85 °C':
        return say(
          values.map(() => 85),
          at_ms,
          soon_ms,
        )
      case '-127 °C':
        return say(
          values.map(() => -127),
          at_ms,
          soon_ms,
        )
      case 'doubled':
        return [...say(values, at_ms, soon_ms), ...say(values, at_ms, draws.between(500, 20_000))]
      case 'late':
        return say(values, at_ms, draws.scale(10_000, 7_200_000))
      case 'out of order':
        return say(values, at_ms, draws.between(0, 1_800_000))
      case 'from the past':
        return say(values, at_ms - draws.scale(600_000, 4e10), soon_ms)
      case 'from the future':
        return say(values, at_ms + draws.scale(60_000, 4e10), soon_ms)
      case 'garbage':
        return say(
          values.map(() => draws.pick([Number.NaN, -1e12, 1e8, Number.POSITIVE_INFINITY])),
          at_ms,
          soon_ms,
        )
      case 'well':
        return say(values, at_ms, soon_ms)
    }
  }
}

/** An instrument in an empty vessel lies on a shelf in the garage. */
function measured(channel: Channel, vessel: PhysicalVessel, now_ms: number, draws: Draws): number {
  const { number, quantity, noise, resolution } = channel
  const truth = vessel.reading(number, now_ms) ?? (quantity === 'beer' ? 15 : 1)
  const step = resolution > 0 ? resolution : 1e-4
  return Math.round(Math.round((truth + noise * draws.normal()) / step) * step * 1e6) / 1e6
}
