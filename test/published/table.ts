import { readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'

export type Row = Readonly<Record<string, string>>

/** Rows of a table in test/published/data, by column name. */
export function table(name: string): readonly Row[] {
  return parse(readFileSync(new URL(`./data/${name}`, import.meta.url), 'utf8'), { columns: true })
}

/** The number in a cell; NaN when there is none. */
export function number(row: Row, column: string): number {
  const cell = row[column]?.trim()
  return cell ? Number(cell) : Number.NaN
}
