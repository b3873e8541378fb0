import { EXIT } from '../exit-status.ts'
import type { Io } from '../io.ts'

/** What is switched by wire is tried to be switched off for so long. */
const LONGEST_CLOSE_MS = 10_000

/**
 * What becomes of a fault that nobody has foreseen, in a process that controls batches. It does not go on: nobody knows what
 * is half done. Nor does it end at once, which would leave a plain relay as it is. It closes the cellar, so that lines and
 * coils are switched off, and ends with a status other than 0, at which the system starts it anew; then all is off until
 * readings are believed. Returns how to leave faults to the platform again.
 */
export function lastResort(close: () => Promise<void>, io: Pick<Io, 'err'>): () => void {
  let isEnding = false
  const onFault = (fault: unknown) => {
    const what = fault instanceof Error ? (fault.stack ?? fault.message) : String(fault)
    io.err(`A fault of attemper itself, not yours: ${what}\n`)
    if (isEnding) return
    isEnding = true
    io.err('The cellar is being closed, and what is switched by wire is switched off. Start it again.\n')
    const end = () => process.exit(EXIT.internal)
    setTimeout(end, LONGEST_CLOSE_MS)
    close().then(end, end)
  }
  // A promise that is rejected while nobody waits for it comes here too (--unhandled-rejections=throw, as usual).
  process.on('uncaughtException', onFault)
  return () => process.off('uncaughtException', onFault)
}
