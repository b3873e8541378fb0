import type { Io } from './io.ts'

/** One line on standard error that is rewritten while the work goes on; nothing where nobody watches. */
export interface Progress {
  show(text: string): void
  /** Takes the line away. */
  end(): void
}

const BETWEEN_MS = 100
const CLEAR_LINE = '\r\u001b[2K'

export function progressFor(io: Io): Progress {
  let shown_ms = Number.NEGATIVE_INFINITY
  let shown = false
  return {
    show(text) {
      const now_ms = io.now_ms()
      if (!io.errIsTerminal || now_ms - shown_ms < BETWEEN_MS) return
      shown_ms = now_ms
      shown = true
      io.err(text, CLEAR_LINE)
    },
    end() {
      if (shown) io.err('', CLEAR_LINE)
    },
  }
}
