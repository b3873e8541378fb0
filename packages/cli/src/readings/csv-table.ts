import { parse } from 'csv-parse/sync'
import { UsageError } from '../exit-status.ts'
import { firstLine } from '../settings-file.ts'

export type Separator = ',' | ';' | '\t'

/** A CSV file as rows of cells, with the line of the file that each row began on. */
export interface CsvTable {
  readonly separator: Separator
  readonly header: readonly string[]
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[]
}

/** Lines that begin with # are comments; empty lines are left out. UsageError when it can not be read as a table. */
export function csvTable(text: string, file: string, wished?: Separator): CsvTable {
  if (text.includes('\u0000')) throw new UsageError(`${file} is not a text file, so it can not be CSV.`)
  const separator = wished ?? guessSeparator(text)
  let parsed: { record: string[]; info: { lines: number } }[]
  try {
    parsed = parse(text, {
      bom: true,
      delimiter: separator,
      comment: '#',
      comment_no_infix: true,
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: true,
      trim: true,
      info: true,
    }) as unknown as typeof parsed
  } catch (error) {
    throw new UsageError(`${file} can not be read as CSV: ${firstLine(error)}`)
  }
  const [head, ...rest] = parsed
  if (head === undefined)
    throw new UsageError(`${file} is empty: a line with the names of the columns is expected.`)
  if (rest.length === 0) throw new UsageError(`${file} has a line of names, but no reading below it.`)
  return {
    separator,
    header: head.record.map(name => name.trim()),
    rows: rest.map(({ record, info }) => ({ line: info.lines, cells: record })),
  }
}

/** The one that stands most often in the line of names, outside of quotes. */
function guessSeparator(text: string): Separator {
  const line = text.split(/\r\n|\n|\r/).find(each => each.trim() !== '' && !each.startsWith('#')) ?? ''
  const bare = line.replace(/"[^"]*"/g, '')
  const counts = ([';', '\t', ','] as const).map(separator => ({
    separator,
    count: bare.split(separator).length - 1,
  }))
  return counts.reduce((best, each) => (each.count > best.count ? each : best)).separator
}
