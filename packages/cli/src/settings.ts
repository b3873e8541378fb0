import { type DisplayUnits, USUAL_UNITS } from '@attemper/core/units/display.ts'
import type { Given } from './command.ts'
import { UsageError } from './exit-status.ts'
import type { Io } from './io.ts'
import { readSettings } from './settings-file.ts'

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
  const settings = readSettings(io)
  if (settings?.units === undefined) return USUAL_UNITS
  const { file, units } = settings
  const words = typeof units === 'string' ? units.split(/[,;\s]+/) : units
  if (!Array.isArray(words)) {
    throw new UsageError(`In the settings file ${file}, units should be a list, such as: units: [°F, °P].`)
  }
  return withUnits(USUAL_UNITS, words.map(String), file)
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
