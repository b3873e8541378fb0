import { EXIT } from './exit-status.ts'
import type { Io } from './io.ts'
import { watchStarters } from './starters.ts'

/** SIGHUP: the terminal has been closed. */
const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const

/** One Ctrl-C may arrive several times: from the terminal, and from each process that this one was started through. */
const SAME_WISH_MS = 1000

export interface Ending {
  /** Resolves when somebody wants the end; why, where that is not plain. */
  readonly asked: Promise<string | null>
  /** Signals mean again what they usually do. */
  release(): void
}

/**
 * Listens for the wish to end, from before anything is switched: SIGINT, SIGTERM, SIGHUP, or that a process is gone that stood
 * for this one. Whatever comes more than once changes nothing, since supervisors signal a whole group, and some of that
 * group pass it on; only a person who asks again by Ctrl-C, after a second, gets an end at once.
 */
export function askedToEnd(io: Io): Ending {
  const { promise, resolve } = Promise.withResolvers<string | null>()
  let firstAt_ms: number | null = null
  const onSignal = (signal: NodeJS.Signals) => {
    const now_ms = performance.now()
    firstAt_ms ??= now_ms
    if (signal === 'SIGINT' && now_ms - firstAt_ms > SAME_WISH_MS) process.exit(EXIT.internal)
    resolve(null)
  }
  for (const signal of SIGNALS) process.on(signal, onSignal)
  // Whoever read what is said may be gone too; that is no reason to leave a heater on.
  io.goOnUnheard()
  const stopWatching = watchStarters(io.env, pid =>
    resolve(`The process ${pid}, through which this cellar was started, has ended.`),
  )
  return {
    asked: promise,
    release() {
      stopWatching()
      for (const signal of SIGNALS) process.removeListener(signal, onSignal)
    },
  }
}
