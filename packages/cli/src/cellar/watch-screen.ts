import { paragraph, wrap } from '@attemper/core/report/text/wrap.ts'
import type { Io } from '../io.ts'

/** Rows that a terminal certainly has, where it does not say. */
const USUAL_ROWS = 24

/** What is shown to somebody who watches: the sentences that change, and the log beneath them. */
export interface WatchScreen {
  show(sentences: readonly string[], log: readonly string[]): void
}

/** Redraws its lines in place, and stays within the height of the terminal, which could not be gone back over otherwise. */
export function terminalScreen(io: Io): WatchScreen {
  let height = 0
  let shown = ''
  return {
    show(sentences, log) {
      const top = sentences.flatMap(sentence => [...wrap(sentence, io.columns), ''])
      const room = Math.max(0, (io.rows ?? USUAL_ROWS) - top.length - 1)
      const lines = [...top, ...(room === 0 ? [] : log.slice(-room))]
      const text = lines.join('\n')
      if (text === shown) return
      const back = height > 1 ? `\u001b[${height - 1}A` : ''
      io.out(`\r${back}\u001b[J${text}`)
      height = lines.length
      shown = text
    },
  }
}

/** For a file or a pipe: each sentence when it is new, each line of the log once. */
export function plainScreen(io: Io): WatchScreen {
  let isFirst = true
  let logged = 0
  return {
    show(sentences, log) {
      if (isFirst) {
        for (const sentence of sentences) io.out(`${paragraph(sentence, io.columns)}\n`)
        if (sentences.length > 0) io.out('\n')
      }
      isFirst = false
      for (const line of log.slice(logged)) io.out(`${line}\n`)
      logged = log.length
    },
  }
}
