import type { Given } from '../command.ts'
import { readBytes } from '../text-file.ts'
import { type CsvTable, csvTable } from './csv-table.ts'
import { decode } from './decode.ts'
import { type Mapping, mappingFor, readWishes, sayMapping } from './mapping.ts'

/**
 * The CSV file of a logger as a table, with what its columns mean by the options of the command line and their names;
 * `original_SG` as in `mappingFor`.
 */
export function readTable(
  file: string,
  given: Given,
  folder: string,
  original_SG: number | null,
): { readonly table: CsvTable; readonly mapping: Mapping; readonly notes: readonly string[] } {
  const { text, note } = decode(readBytes(file, folder))
  const wishes = readWishes(given, folder)
  const table = csvTable(text, file, wishes.separator)
  const mapping = mappingFor(wishes, table.header, file, original_SG)
  const notes = [...(note === null ? [] : [`${file} was ${note}.`]), sayMapping(mapping, file)]
  return { table, mapping, notes }
}
