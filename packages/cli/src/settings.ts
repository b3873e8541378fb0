import { existsSync } from 'node:fs'
import { homedir } from 'node:os'
import { join } from 'node:path'
import { type DisplayUnits, USUAL_UNITS } from '@attemper/core/units/display.ts'
import { parse } from 'yaml'
import type { Given } from './command.ts'
import { UsageError } from './exit-status.ts'
import type { Io } from './io.ts'
import { readText } from './text-file.ts'

const FILE = 'attemper.settings.yaml'

/**
 * The units that a brewer wants to read: from the command line, or from a settings file (`units: [°F, °P]`) in the present
 * folder, or from the one in the user's own configuration folder.
 */
export function unitsFor(given: Given, io: Io): DisplayUnits {
  let units = settingsUnits(io)
  const list = given.text('units')
  if (list !== undefined) units = withUnits(units, list.split(/[,;\s]+/), '--units')
  if (given.switch('fahrenheit')) units = { ...units, temperature: 'F' }
  if (given.switch('plato')) units = { ...units, gravity: 'P' }
  return units
}

function settingsUnits(io: Io): DisplayUnits {
  const configuration = io.env.XDG_CONFIG_HOME || join(io.env.HOME ?? homedir(), '.config')
  const file = [join(io.folder, FILE), join(configuration, 'attemper', FILE)].find(each => existsSync(each))
  if (file === undefined) return USUAL_UNITS
  let settings: unknown
  try {
    settings = parse(readText(file, io.folder), { maxAliasCount: 0 })
  } catch (error) {
    if (error instanceof UsageError) throw error
    throw new UsageError(`The settings file ${file} is not YAML: ${firstLine(error)}`)
  }
  const wish =
    typeof settings === 'object' && settings !== null && 'units' in settings ? settings.units : undefined
  if (settings === null || settings === undefined) return USUAL_UNITS
  const words = typeof wish === 'string' ? wish.split(/[,;\s]+/) : wish
  if (!Array.isArray(words)) {
    throw new UsageError(`The settings file ${file} should say units, such as: units: [°F, °P].`)
  }
  return withUnits(USUAL_UNITS, words.map(String), file)
}

/** The first line of an error's message, without its code frame. */
export function firstLine(error: unknown): string {
  return error instanceof Error ? (error.message.split('\n')[0] ?? '').replace(/:$/, '.') : String(error)
}

function withUnits(start: DisplayUnits, words: readonly string[], source: string): DisplayUnits {
  let units = start
  for (const word of words.filter(each => each !== '')) {
    const change = CHANGES[word.toLowerCase().replace(/^°/, '')]
    if (change === undefined) {
      throw new UsageError(`${source} has an unknown unit "${word}": use °C or °F, SG or °P, L or gal.`)
    }
    units = { ...units, ...change }
  }
  return units
}

const CHANGES: Readonly<Record<string, Partial<DisplayUnits>>> = {
  c: { temperature: 'C' },
  f: { temperature: 'F' },
  sg: { gravity: 'SG' },
  p: { gravity: 'P' },
  l: { volume: 'L' },
  gal: { volume: 'gal' },
}
