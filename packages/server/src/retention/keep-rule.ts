import { SOFTWARE } from '../live/software.ts'
import type { Store } from '../store/store.ts'
import { limitsOf, readRule } from './rule.ts'

/** Between two rounds through all streams. */
const EVERY_MS = 24 * 3_600_000
/** After a start there is more to do than to tidy up. */
const FIRST_AFTER_MS = 10 * 60_000
/** Between two steps of a round: it may take its time. */
const STEP_MS = 200
/** What is removed is written into the record of changes at the end of a round, and whenever it has come to so much. */
const TOLD_AT_READINGS = 1_000_000

export interface RuleKeeping {
  /** Begins a round now, for whoever has changed the rule. */
  hurry(): void
  stop(): void
}

export interface RuleKeepingParts {
  readonly store: Pick<Store, 'getDocument' | 'thin' | 'appendAudit'>
  readonly clock: { now_ms(): number; readonly speed: number }
  readonly onFault: (fault: unknown) => void
  /** Shorter in tests; ms of real time. */
  readonly step_ms?: number
}

/** Applies the retention rule from time to time, a few hours of readings at once, so that control never waits for it. */
export function keepRule({ store, clock, onFault, step_ms = STEP_MS }: RuleKeepingParts): RuleKeeping {
  let timer: NodeJS.Timeout
  let readings = 0
  let minuteHours = 0

  const again = (wait_ms: number) => {
    clearTimeout(timer)
    timer = setTimeout(step, wait_ms)
    timer.unref()
  }

  const tell = (at_ms: number) => {
    if (readings === 0 && minuteHours === 0) return
    store.appendAudit({ at_ms, who: SOFTWARE, what: sayRemoved(readings, minuteHours) })
    readings = 0
    minuteHours = 0
  }

  const step = () => {
    let wait_ms = EVERY_MS / clock.speed
    try {
      const now_ms = clock.now_ms()
      const thinned = store.thin(limitsOf(readRule(store), now_ms))
      readings += thinned.readings
      minuteHours += thinned.minuteHours
      if (thinned.isMore) wait_ms = step_ms
      if (!thinned.isMore || readings >= TOLD_AT_READINGS) tell(now_ms)
    } catch (fault) {
      onFault(fault)
    }
    again(wait_ms)
  }

  again(FIRST_AFTER_MS / clock.speed)
  return {
    hurry: () => again(step_ms),
    stop() {
      clearTimeout(timer)
      try {
        tell(clock.now_ms())
      } catch (fault) {
        onFault(fault)
      }
    },
  }
}

function sayRemoved(readings: number, minuteHours: number): string {
  const parts = [
    ...(readings === 0 ? [] : [`${readings} single readings`]),
    ...(minuteHours === 0 ? [] : [`the minutes of ${minuteHours} hours`]),
  ]
  return `removed ${parts.join(' and ')} from outside of batches, as the retention rule says`
}
