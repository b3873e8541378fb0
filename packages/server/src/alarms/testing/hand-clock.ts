import type { Clock } from '../../live/clock.ts'

/** A clock that moves only when told, with timers that ring on its way: a night passes at once. */
export class HandClock implements Clock {
  readonly speed = 1
  #now_ms: number
  readonly #waiting = new Set<{ at_ms: number; readonly call: () => void }>()

  constructor(now_ms: number) {
    this.#now_ms = now_ms
  }

  now_ms(): number {
    return this.#now_ms
  }

  set(at_ms: number, call: () => void): () => void {
    const timer = { at_ms, call }
    this.#waiting.add(timer)
    return () => this.#waiting.delete(timer)
  }

  /** Somebody sets it; timers that are running take no notice of that. */
  putClock(by_s: number): void {
    this.#now_ms += by_s * 1000
    for (const timer of this.#waiting) timer.at_ms += by_s * 1000
  }

  /** How many timers are set. */
  get waiting(): number {
    return this.#waiting.size
  }

  /** As when a process dies: nothing of what was set rings any more. */
  forget(): void {
    this.#waiting.clear()
  }

  /** Lets time pass; timers ring in their order, each at its own time (at the earliest now). */
  pass(for_s: number): void {
    const end_ms = this.#now_ms + for_s * 1000
    for (let next = this.#next(end_ms); next !== undefined; next = this.#next(end_ms)) {
      this.#waiting.delete(next)
      this.#now_ms = Math.max(this.#now_ms, next.at_ms)
      next.call()
    }
    this.#now_ms = end_ms
  }

  #next(end_ms: number) {
    return [...this.#waiting].filter(({ at_ms }) => at_ms <= end_ms).sort((a, b) => a.at_ms - b.at_ms)[0]
  }
}
