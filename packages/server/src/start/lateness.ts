import type { Clock } from '../live/clock.ts'
import type { Timers } from '../live/timers.ts'

/** Times at which a batch is to be looked at again are kept a little late; much, when the machine has too much to do. */
export interface WatchedTimers extends Timers {
  /** How late the worst call of the last minutes was, in real seconds. */
  lateness_s(): number
}

/** The worst of so long is told, so that a collector that asks once a minute misses none. */
const WINDOW_MS = 5 * 60_000

/** Timers that remember how late they called. */
export function watchLateness(timers: Timers, clock: Clock): WatchedTimers {
  let late: readonly { readonly at_ms: number; readonly late_s: number }[] = []
  const recent = () => {
    const now_ms = clock.now_ms()
    late = late.filter(({ at_ms }) => at_ms <= now_ms && now_ms - at_ms < WINDOW_MS * clock.speed)
    return late
  }
  return {
    set: (at_ms, call) =>
      timers.set(at_ms, () => {
        const now_ms = clock.now_ms()
        const late_s = Math.max(0, (now_ms - at_ms) / clock.speed / 1000)
        // What is not later than a newer one is never the worst again.
        late = [...recent().filter(one => one.late_s > late_s), { at_ms: now_ms, late_s }]
        call()
      }),
    lateness_s: () => recent()[0]?.late_s ?? 0,
  }
}
