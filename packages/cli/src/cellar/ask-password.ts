import { UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'

/** A password from ATTEMPER_PASSWORD, or from the person at the terminal; never from the command line, which others can see. */
export async function askPassword(io: Io, question: string): Promise<string> {
  const fromEnvironment = io.env.ATTEMPER_PASSWORD
  if (fromEnvironment !== undefined && fromEnvironment !== '') return fromEnvironment
  if (io.askSecret === null) {
    throw new UsageError('There is nobody to be asked for the password: put it into ATTEMPER_PASSWORD.')
  }
  return io.askSecret(question)
}
