import { homedir } from 'node:os'
import { join, resolve } from 'node:path'
import type { CommandOption, Given } from './command.ts'
import type { Io } from './io.ts'

export const DATA_OPTION: CommandOption = {
  name: 'data',
  value: 'DIR',
  about: 'the folder of the records (usually attemper in the folder where your system keeps data)',
}

/** The data folder that the command line names, or the usual one (XDG Base Directory Specification). */
export function dataFolder(given: Given, io: Io): string {
  const wish = given.text('data')
  if (wish !== undefined) return resolve(io.folder, wish)
  const data = io.env.XDG_DATA_HOME || join(io.env.HOME ?? homedir(), '.local', 'share')
  return join(data, 'attemper')
}
