import type { Io } from '../io.ts'

export interface MemoryIo extends Io {
  /** Everything written so far. */
  readonly written: { out: string; err: string }
}

/** A terminal of 80 columns that nobody looks at: what is written is kept. */
export function memoryIo(changes: Partial<Io> = {}): MemoryIo {
  const written = { out: '', err: '' }
  return {
    written,
    out: (text, command = '') => {
      written.out += command + text
    },
    err: (text, command = '') => {
      written.err += command + text
    },
    outIsTerminal: false,
    errIsTerminal: false,
    columns: 80,
    env: { HOME: '/nowhere', XDG_CONFIG_HOME: '/nowhere' },
    folder: process.cwd(),
    now_ms: () => Date.UTC(2026, 10, 24, 12),
    ask: null,
    askSecret: null,
    goOnUnheard: () => undefined,
    ...changes,
  }
}
