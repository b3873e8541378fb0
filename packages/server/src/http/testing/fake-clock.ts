import type { Clock } from '../../live/clock.ts'

/** Stands still until it is moved. */
export class FakeClock implements Clock {
  readonly speed = 1
  #now_ms: number

  constructor(now_ms = Date.UTC(2026, 10, 24, 20, 15)) {
    this.#now_ms = now_ms
  }

  now_ms(): number {
    return this.#now_ms
  }

  pass(duration_ms: number): void {
    this.#now_ms += duration_ms
  }
}
