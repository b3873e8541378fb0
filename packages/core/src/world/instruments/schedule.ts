import type { BrewerHabits } from '../../beer/beer.ts'
import { uniformAt } from '../../random/hash-noise.ts'
import type { Instrument } from '../../vessel/vessel.ts'
import type { Fault } from '../faults/fault.ts'
import type { Outages } from './outages.ts'
import { nextAwake_s } from './waking-hours.ts'

/** Hand readings come at the meant time ± this share of the interval... */
const HAND_JITTER = 0.1
/** ...and never closer together than this. */
const HAND_LEAST_S = 600

export interface ScheduleSetup {
  readonly instrument: Instrument
  readonly start_s: number
  readonly phase_s: number
  readonly outages: Outages
  readonly faults: readonly Fault[]
  readonly brewer: BrewerHabits
  /** Local time minus UTC, s. */
  readonly localOffset_s: number
  /** Stream of the times of hand readings. */
  readonly key: number
}

interface Stretch {
  readonly from_s: number
  readonly to_s: number
  /** Reports only at every so many intervals; 0: silent. */
  readonly stride: number
}

/**
 * When an instrument reports: whole seconds, start + phase + n x interval, except in outages and while a fault keeps it
 * silent or slow. All gaps are known beforehand, so a simulator sees a silence coming.
 */
export class Schedule {
  /** The first report that has not been passed, and its number (the k of its noise). */
  next_s: number
  index = 0
  /** The latest report passed; before the first one: the start. */
  last_s: number
  lastIndex = -1
  /** Reports follow `next_s` at this distance, as long as they come before `regularUntil_s`. */
  step_s: number
  /** ... and their numbers at this one. */
  stride = 1
  regularUntil_s = 0

  readonly #first_s: number
  readonly #every_s: number
  readonly #byHand: boolean
  readonly #setup: ScheduleSetup
  readonly #stretches: readonly Stretch[]

  constructor(setup: ScheduleSetup) {
    this.#setup = setup
    this.#every_s = Math.max(1, Math.round(setup.instrument.every_s))
    this.#byHand = setup.instrument.byHand
    this.#first_s = setup.start_s + setup.phase_s
    this.#stretches = stretchesOf(setup.faults, setup.instrument.name, this.#every_s)
    this.last_s = setup.start_s
    this.step_s = this.#every_s
    this.next_s = this.#byHand ? this.#handTime_s(0, setup.start_s) : this.#first_s
    this.#settle()
  }

  /** Goes on to the first report after `t_s`. */
  advancePast(t_s: number): void {
    while (this.next_s <= t_s) {
      const until_s = Math.min(t_s, this.regularUntil_s - 1)
      const whole = Math.max(0, Math.floor((until_s - this.next_s) / this.step_s))
      this.last_s = this.next_s + whole * this.step_s
      this.lastIndex = this.index + whole * this.stride
      this.index = this.lastIndex + this.stride
      this.next_s = this.#byHand ? this.#handTime_s(this.index, this.last_s) : this.last_s + this.step_s
      if (this.next_s < this.regularUntil_s) continue
      if (!this.#byHand) {
        // A slow stretch may end before its next report would have come.
        this.index = this.lastIndex + 1
        this.next_s = this.last_s + this.#every_s
      }
      this.#settle()
    }
  }

  /** Moves `next_s` to the first time, not before itself, at which the instrument really reports. */
  #settle(): void {
    const { outages } = this.#setup
    for (;;) {
      outages.advancePast(this.next_s)
      if (outages.from_s <= this.next_s) {
        this.#moveTo(outages.to_s)
        continue
      }
      const stretch = this.#stretches.find(one => one.from_s <= this.next_s && this.next_s < one.to_s)
      if (stretch?.stride === 0) {
        if (stretch.to_s === Number.POSITIVE_INFINITY) {
          this.next_s = Number.POSITIVE_INFINITY
          this.regularUntil_s = Number.POSITIVE_INFINITY
          return
        }
        this.#moveTo(stretch.to_s)
        continue
      }
      const stride = this.#byHand ? 1 : (stretch?.stride ?? 1)
      const past = this.index % stride
      if (past !== 0) {
        this.#moveTo(Math.min(this.next_s + (stride - past) * this.#every_s, stretch!.to_s))
        continue
      }
      this.stride = stride
      this.step_s = stride * this.#every_s
      this.regularUntil_s = this.#byHand ? this.next_s + 1 : Math.min(outages.from_s, this.#nextEdge_s())
      return
    }
  }

  #nextEdge_s(): number {
    let edge_s = Number.POSITIVE_INFINITY
    for (const { from_s, to_s } of this.#stretches) {
      if (from_s > this.next_s && from_s < edge_s) edge_s = from_s
      if (to_s > this.next_s && to_s < edge_s) edge_s = to_s
    }
    return edge_s
  }

  #moveTo(t_s: number): void {
    if (this.#byHand) {
      while (this.next_s < t_s) this.next_s = this.#handTime_s(++this.index, this.next_s)
    } else {
      this.index = Math.ceil((t_s - this.#first_s) / this.#every_s)
      this.next_s = this.#first_s + this.index * this.#every_s
    }
  }

  #handTime_s(index: number, before_s: number): number {
    const { key, brewer, localOffset_s, start_s } = this.#setup
    const jitter_s = (2 * uniformAt(key, index) - 1) * HAND_JITTER * this.#every_s
    const meant_s = Math.max(start_s, Math.round(this.#first_s + index * this.#every_s + jitter_s))
    const earliest_s = index === 0 ? meant_s : Math.max(meant_s, before_s + HAND_LEAST_S)
    return nextAwake_s(brewer, earliest_s + localOffset_s) - localOffset_s
  }
}

/** Silent stretches first, so that they win over slow ones. */
function stretchesOf(faults: readonly Fault[], name: string, every_s: number): Stretch[] {
  const silent: Stretch[] = []
  const slow: Stretch[] = []
  for (const fault of faults) {
    const { from_s, to_s } = fault
    if (fault.kind === 'power cut' || (fault.kind === 'instrument silent' && fault.instrument === name)) {
      silent.push({ from_s, to_s, stride: 0 })
    }
    if (fault.kind === 'instrument slow' && fault.instrument === name) {
      slow.push({ from_s, to_s, stride: Math.max(1, Math.ceil(fault.every_s / every_s)) })
    }
  }
  return [...silent, ...slow]
}
