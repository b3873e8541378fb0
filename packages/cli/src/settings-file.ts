import { existsSync } from 'node:fs'
import { homedir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'yaml'
import { UsageError } from './exit-status.ts'
import type { Io } from './io.ts'
import { readText } from './text-file.ts'

const FILE = 'attemper.settings.yaml'

/** What a brewer need not say with each command. */
export interface Settings {
  /** Name of the file. */
  readonly file: string
  readonly units?: unknown
  readonly cellar?: unknown
  readonly token?: unknown
}

const KNOWN = ['units', 'cellar', 'token']

/** The settings file in the present folder, or the one in the user's own configuration folder; null: there is none. */
export function readSettings(io: Io): Settings | null {
  const configuration = io.env.XDG_CONFIG_HOME || join(io.env.HOME ?? homedir(), '.config')
  const file = [join(io.folder, FILE), join(configuration, 'attemper', FILE)].find(each => existsSync(each))
  if (file === undefined) return null
  let settings: unknown
  try {
    settings = parse(readText(file, io.folder), { maxAliasCount: 0 })
  } catch (error) {
    if (error instanceof UsageError) throw error
    throw new UsageError(`The settings file ${file} is not YAML: ${firstLine(error)}`)
  }
  if (settings === null || settings === undefined) return null
  const isRecord = typeof settings === 'object' && !Array.isArray(settings)
  const unknown = isRecord ? Object.keys(settings).find(name => !KNOWN.includes(name)) : ''
  if (!isRecord || unknown !== undefined) {
    const what = unknown ? `knows no “${unknown}”; it` : ''
    throw new UsageError(
      `The settings file ${file} ${what}${what && ' '}should say units, cellar or token, such as: units: [°F, °P].`,
    )
  }
  return { file, ...settings }
}

/** The first line of an error's message, without its code frame. */
export function firstLine(error: unknown): string {
  return error instanceof Error ? (error.message.split('\n')[0] ?? '').replace(/:$/, '.') : String(error)
}
