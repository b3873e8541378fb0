import { uptime } from 'node:os'

/** The cellar's clock. Everything that happens in the cellar is told in its time; a demonstration lets it run faster. */
export interface Clock {
  /** Milliseconds since 1970-01-01T00:00 UTC. */
  now_ms(): number
  /** How many cellar seconds pass in a real one. */
  readonly speed: number
  /**
   * Counts on evenly, whatever the clock is set to, and also while the machine sleeps; its origin means nothing. Left out: a
   * clock that is put forward can not be told from time that has passed.
   */
  steady_ms?(): number
}

export const REAL_CLOCK: Clock = {
  now_ms: () => Date.now(),
  speed: 1,
  // Since the machine started. Unlike the timers of the platform it does not stand still while the machine sleeps.
  steady_ms: () => uptime() * 1000,
}

/** A clock that stood at `origin_ms` when the real one stood at `realOrigin_ms`, and runs `speed` times as fast. */
export function fastClock(origin_ms: number, realOrigin_ms: number, speed: number): Clock {
  return { now_ms: () => origin_ms + (Date.now() - realOrigin_ms) * speed, speed }
}
