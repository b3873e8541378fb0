import type { Clock } from './clock.ts'

/** Wakes somebody at a time of the cellar's clock. Tests have one of their own, whose hours pass at once. */
export interface Timers {
  /** Calls once, at `at_ms` or a little later; returns how to call it off. */
  set(at_ms: number, call: () => void): () => void
}

/** The longest wait that a timer of the platform can be asked for; a longer one is waited for in parts. */
const LONGEST_MS = 2 ** 31 - 1

/**
 * Timers of the platform, for a clock that may run faster than the real one. What a call throws is told to `onFault`: it
 * would end the program, with every batch in it. Left out: it is thrown.
 */
export function timersOf(clock: Clock, onFault?: (fault: unknown) => void): Timers {
  return {
    set(at_ms, given) {
      const call = () => {
        try {
          given()
        } catch (fault) {
          if (onFault === undefined) throw fault
          onFault(fault)
        }
      }
      let timer: NodeJS.Timeout | undefined
      const arm = () => {
        const wait_ms = Math.ceil((at_ms - clock.now_ms()) / clock.speed)
        timer = wait_ms > LONGEST_MS ? setTimeout(arm, LONGEST_MS) : setTimeout(call, Math.max(1, wait_ms))
      }
      arm()
      return () => clearTimeout(timer)
    },
  }
}
