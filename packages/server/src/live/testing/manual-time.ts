import type { Clock } from '../clock.ts'
import type { Timers } from '../timers.ts'

interface Alarm {
  at_ms: number
  readonly call: () => void
}

/** A clock and its timers that move only when the test says so. */
export class ManualTime implements Clock, Timers {
  readonly speed = 1
  #now_ms: number
  /** How far somebody has set the clock altogether. */
  #put_ms = 0
  readonly #alarms = new Set<Alarm>()

  constructor(now_ms: number) {
    this.#now_ms = now_ms
  }

  now_ms(): number {
    return this.#now_ms
  }

  steady_ms(): number {
    return this.#now_ms - this.#put_ms
  }

  /** Somebody sets the clock; timers that are running take no notice of that, as those of the platform. */
  putClock(by_ms: number): void {
    this.#now_ms += by_ms
    this.#put_ms += by_ms
    for (const alarm of this.#alarms) alarm.at_ms += by_ms
  }

  set(at_ms: number, call: () => void): () => void {
    const alarm = { at_ms, call }
    this.#alarms.add(alarm)
    return () => this.#alarms.delete(alarm)
  }

  /** When the next timer is due; Infinity: none is set. */
  get next_ms(): number {
    return Math.min(Number.POSITIVE_INFINITY, ...[...this.#alarms].map(({ at_ms }) => at_ms))
  }

  /** Moves on, but rings nothing yet. */
  standAt(t_ms: number): void {
    this.#now_ms = t_ms
  }

  /** Moves on, and rings each timer at its time, in order. */
  moveTo(t_ms: number): void {
    for (let due = this.#due(t_ms); due !== null; due = this.#due(t_ms)) {
      this.#alarms.delete(due)
      this.#now_ms = Math.max(this.#now_ms, due.at_ms)
      due.call()
    }
    this.#now_ms = t_ms
  }

  #due(t_ms: number): Alarm | null {
    const due = [...this.#alarms].filter(({ at_ms }) => at_ms <= t_ms).sort((a, b) => a.at_ms - b.at_ms)
    return due[0] ?? null
  }
}
