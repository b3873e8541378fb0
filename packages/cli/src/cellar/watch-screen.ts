import type { Io } from '../io.ts'

/** Rows that a terminal certainly has, where it does not say. */
const USUAL_ROWS = 24

/** What is shown to somebody who watches: lines that change, and the log beneath them. */
export interface WatchScreen {
  show(top: readonly string[], log: readonly string[]): void
}

/** Redraws its lines in place, and stays within the height of the terminal, which could not be gone back over otherwise. */
export function terminalScreen(io: Io): WatchScreen {
  let height = 0
  let shown = ''
  return {
    show(top, log) {
      const rows = (io.rows ?? USUAL_ROWS) - 1
      const room = Math.max(0, rows - top.length)
      const lines = [...top, ...(room === 0 ? [] : log.slice(-room))].slice(0, rows)
      const text = lines.join('\n')
      if (text === shown) return
      const back = height > 1 ? `\u001b[${height - 1}A` : ''
      io.out(text, `\r${back}\u001b[J`)
      height = lines.length
      shown = text
    },
  }
}

/** For a file or a pipe: how it stands at the beginning, then each line of the log once. */
export function plainScreen(io: Io): WatchScreen {
  let isFirst = true
  let logged = 0
  return {
    show(top, log) {
      if (isFirst) for (const line of top) io.out(`${line}\n`)
      isFirst = false
      for (const line of log.slice(logged)) io.out(`${line}\n`)
      logged = log.length
    },
  }
}
