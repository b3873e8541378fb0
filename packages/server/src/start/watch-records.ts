import type { Clock } from '../live/clock.ts'
import type { Timers } from '../live/timers.ts'
import type { OnTrouble } from '../live/trouble.ts'

/** How often the file of the records is looked for, ms of real time: it costs next to nothing. */
const EVERY_MS = 10_000

export interface WatchRecordsParts {
  readonly store: { fileProblem(): string | null }
  /** What was wrong at the start. */
  readonly damage: readonly string[]
  readonly clock: Clock
  readonly timers: Timers
  readonly onTrouble: OnTrouble
}

/** Tells of records that are damaged, or whose file is gone, also while nothing is written. Returns how to end it. */
export function watchRecords({ store, damage, clock, timers, onTrouble }: WatchRecordsParts): () => void {
  let callOff: () => void = () => undefined
  let isGone = false
  const [first] = damage
  if (first !== undefined) onTrouble({ kind: 'records failing', what: 'pages', reason: first, batch: null })
  const look = () => {
    callOff = timers.set(clock.now_ms() + EVERY_MS * clock.speed, look)
    const problem = store.fileProblem()
    if (problem !== null && !isGone) {
      onTrouble({ kind: 'records failing', what: 'file', reason: problem, batch: null })
    }
    if (problem === null && isGone) onTrouble({ kind: 'records kept again', what: 'file', batch: null })
    isGone = problem !== null
  }
  look()
  return () => callOff()
}
