import type { CommandOption, Given } from '../command.ts'
import { UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'

export const YES_OPTION: CommandOption = { name: 'yes', about: 'do it without asking' }

/** Asks before something that can not be undone. Where there is nobody to be asked, --yes must have been given. */
export async function isConfirmed(given: Given, io: Io, question: string): Promise<boolean> {
  if (given.switch('yes')) return true
  if (io.ask === null) throw new UsageError(`${question} Say so with --yes.`)
  const answer = await io.ask(`${question} (yes or no) `)
  return /^y(es)?$/i.test(answer.trim())
}
