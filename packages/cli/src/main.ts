import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import type { Command, CommandGroup } from './command.ts'
import { readCommandLine } from './command-line.ts'
import { ABORT } from './commands/abort.ts'
import { ALARMS } from './commands/alarms.ts'
import { ANSWER } from './commands/answer.ts'
import { BACKUP } from './commands/backup.ts'
import { CELLAR } from './commands/cellar.ts'
import { CHANGE } from './commands/change.ts'
import { CHANNELS } from './commands/channels.ts'
import { CHECK } from './commands/check.ts'
import { DESCRIBE } from './commands/describe.ts'
import { DRILL } from './commands/drill.ts'
import { FIT } from './commands/fit.ts'
import { GO_TO } from './commands/go-to.ts'
import { GRAVITY } from './commands/gravity.ts'
import { HOLD } from './commands/hold.ts'
import { IMPORT } from './commands/import.ts'
import { LOG } from './commands/log.ts'
import { NEW } from './commands/new.ts'
import { NOTE } from './commands/note.ts'
import { PASSWORD } from './commands/password.ts'
import { REHEARSE } from './commands/rehearse.ts'
import { REPLAY } from './commands/replay.ts'
import { RESTORE } from './commands/restore.ts'
import { RESUME } from './commands/resume.ts'
import { RETENTION } from './commands/retention.ts'
import { SERVE } from './commands/serve.ts'
import { SIGN_IN } from './commands/sign-in.ts'
import { START } from './commands/start.ts'
import { STOP } from './commands/stop.ts'
import { TAKE_UP } from './commands/take-up.ts'
import { TOKEN } from './commands/token.ts'
import { VERIFY } from './commands/verify.ts'
import { VESSEL } from './commands/vessel.ts'
import { WATCH } from './commands/watch.ts'
import { WHY } from './commands/why.ts'
import { EXIT, type ExitStatus, RefusedError, UsageError } from './exit-status.ts'
import { commandHelp, programHelp } from './help-text.ts'
import { type Io, processIo } from './io.ts'
import { version } from './version.ts'

const GROUPS: readonly CommandGroup[] = [
  { title: 'At the kitchen table', commands: [REHEARSE, CHECK, DESCRIBE, DRILL, REPLAY, FIT, NEW] },
  {
    title: 'In the cellar',
    commands: [SERVE, VESSEL, START, CELLAR, WATCH, ALARMS, CHANNELS, LOG, WHY, IMPORT],
  },
  {
    title: 'To a running batch',
    commands: [ANSWER, GRAVITY, NOTE, HOLD, RESUME, GO_TO, CHANGE, TAKE_UP, STOP, ABORT],
  },
  { title: 'Keeping it safe', commands: [BACKUP, RESTORE, VERIFY, RETENTION, PASSWORD, SIGN_IN, TOKEN] },
]

export const COMMANDS: readonly Command[] = GROUPS.flatMap(({ commands }) => commands)

/** What the launcher calls. */
export function run(words: readonly string[]): Promise<ExitStatus> {
  return main(words, processIo())
}

/** Runs one command. Never throws: what goes wrong is said in one sentence on standard error, and in the exit status. */
export async function main(words: readonly string[], io: Io): Promise<ExitStatus> {
  try {
    return await dispatch(words, io)
  } catch (error) {
    if (io.env.ATTEMPER_DEBUG === '1' && error instanceof Error) io.err(`${error.stack ?? error.message}\n`)
    if (error instanceof UsageError) {
      io.err(`attemper: ${error.message}\n`)
      return EXIT.usage
    }
    if (error instanceof RefusedError) {
      io.err(`attemper: ${error.message}\n`)
      return EXIT.bad
    }
    const what = error instanceof Error ? `${error.name}: ${error.message.split('\n')[0]}` : String(error)
    io.err(
      `attemper: this is a fault of attemper itself, not yours (${what}); ATTEMPER_DEBUG=1 shows where it happened.\n`,
    )
    return EXIT.internal
  }
}

async function dispatch(words: readonly string[], io: Io): Promise<ExitStatus> {
  const [name, ...rest] = words
  if (name === undefined) {
    io.err(programHelp(GROUPS, io.columns))
    return EXIT.usage
  }
  if (name === '--help' || name === '-h' || name === 'help') return help(rest[0], io)
  if (name === '--version') {
    io.out(`attemper ${version()}\n`)
    return EXIT.good
  }
  const command = commandNamed(name)
  const given = readCommandLine(command, rest)
  if (given === 'help') return help(command.name, io)
  return command.run(given, io)
}

function help(name: string | undefined, io: Io): ExitStatus {
  io.out(name === undefined ? programHelp(GROUPS, io.columns) : commandHelp(commandNamed(name), io.columns))
  return EXIT.good
}

function commandNamed(name: string): Command {
  const command = COMMANDS.find(each => each.name === name || each.alias === name)
  if (command !== undefined) return command
  const names = COMMANDS.map(each => each.name)
  const nearest = nearestWord(name, names)
  const hint = nearest === null ? `There are ${names.join(', ')}.` : `Did you mean ${nearest}?`
  throw new UsageError(`there is no command ${name}. ${hint}`)
}
