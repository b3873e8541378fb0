import { createInterface } from 'node:readline/promises'
import { Writable } from 'node:stream'
import { plainText } from '@attemper/core/units/plain-text.ts'
import { EXIT } from './exit-status.ts'

/** What a command may touch of the outer world, apart from files. Tests hand in their own. */
export interface Io {
  /** `command`: what this program itself says to the terminal before the text; nothing in the text is a command, but bold. */
  out(text: string, command?: string): void
  err(text: string, command?: string): void
  readonly outIsTerminal: boolean
  readonly errIsTerminal: boolean
  /** Width of the terminal, in columns. */
  readonly columns: number
  /** Its height; left out: not known. */
  readonly rows?: number
  readonly env: Readonly<Record<string, string | undefined>>
  /** The folder that relative names start from. */
  readonly folder: string
  /** Milliseconds since 1970-01-01T00:00 UTC. */
  now_ms(): number
  /** Asks the person at the terminal; null where there is nobody to be asked. */
  readonly ask: ((question: string) => Promise<string>) | null
  /** The same for something that must not be seen. */
  readonly askSecret: ((question: string) => Promise<string>) | null
  /** From now on the program goes on where nobody reads any more what it says; usually it ends then. */
  goOnUnheard(): void
}

const USUAL_COLUMNS = 80
const FEWEST_COLUMNS = 60
const MOST_COLUMNS = 120

/** The real world: this process's streams, environment and clock. */
export function processIo(): Io {
  let isUnheardAllowed = false
  for (const stream of [process.stdout, process.stderr]) {
    // Whoever reads us may stop early ("attemper describe PLAN | head"): that is no fault.
    stream.on('error', (error: NodeJS.ErrnoException) => {
      if (isUnheardAllowed) return
      if (error.code === 'EPIPE') process.exit()
      if (stream === process.stdout) {
        process.stderr.write(`attemper: the output can not be written (${error.code}).\n`)
      }
      process.exit(EXIT.usage)
    })
  }
  const somebodyIsThere = process.stdin.isTTY === true && process.stdout.isTTY === true
  const columns = process.stdout.columns ?? Number(process.env.COLUMNS ?? USUAL_COLUMNS)
  return {
    out: (text, command = '') => void process.stdout.write(command + forTerminal(text)),
    err: (text, command = '') => void process.stderr.write(command + forTerminal(text)),
    outIsTerminal: process.stdout.isTTY === true,
    errIsTerminal: process.stderr.isTTY === true,
    columns: Math.min(MOST_COLUMNS, Math.max(FEWEST_COLUMNS, columns || USUAL_COLUMNS)),
    ...(process.stdout.rows === undefined ? {} : { rows: process.stdout.rows }),
    env: process.env,
    folder: process.cwd(),
    now_ms: () => Date.now(),
    ask: somebodyIsThere ? askAtTerminal : null,
    askSecret: somebodyIsThere ? askSecretly : null,
    goOnUnheard: () => {
      isUnheardAllowed = true
    },
  }
}

/** Bold and not bold, as `headingFor` writes it; and ends of lines as some systems have them. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
const HARMLESS = /(\u001b\[(?:1|22)m|\r\n)/

/**
 * Notes, names and quoted texts come from others, perhaps over the network: whatever in them would be a command to the
 * terminal is shown as a mark.
 */
export function forTerminal(text: string): string {
  return text
    .split(HARMLESS)
    .map((part, at) => (at % 2 === 1 ? part : plainText(part)))
    .join('')
}

async function askAtTerminal(question: string): Promise<string> {
  const terminal = createInterface({ input: process.stdin, output: process.stderr })
  try {
    return await terminal.question(question)
  } finally {
    terminal.close()
  }
}

async function askSecretly(question: string): Promise<string> {
  process.stderr.write(question)
  // What the terminal would show of the typing goes nowhere.
  const nowhere = new Writable({ write: (_chunk, _encoding, done) => done() })
  const terminal = createInterface({ input: process.stdin, output: nowhere, terminal: true })
  try {
    return await terminal.question('')
  } finally {
    terminal.close()
    process.stderr.write('\n')
  }
}

/** Marks a heading: bold in a terminal, unless NO_COLOR (any value but the empty one) or TERM=dumb asks for plain text. */
export function headingFor(io: Io): (text: string) => string {
  const plain = !io.outIsTerminal || (io.env.NO_COLOR ?? '') !== '' || io.env.TERM === 'dumb'
  return plain ? text => text : text => `\u001b[1m${text}\u001b[22m`
}
