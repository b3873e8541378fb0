import { widthOf } from './width.ts'
import { wrap } from './wrap.ts'

export interface TableColumn {
  readonly title: string
  readonly align?: 'left' | 'right'
  /** May be wrapped when the table is wider than the terminal. */
  readonly wraps?: boolean
  /** Never wider than this, but for its longest word; only with `wraps`. */
  readonly most?: number
}

/**
 * A table as text: titles, a rule, rows; columns two spaces apart. Columns that may be wrapped give way, the widest first,
 * until the table fits into `width`.
 */
export function tableText(
  columns: readonly TableColumn[],
  rows: readonly (readonly string[])[],
  width: number,
): string {
  const widths = fit(columns, rows, width)
  const titles = lay(
    columns,
    widths,
    columns.map(column => column.title),
  )
  const rule = widths.map(columnWidth => '─'.repeat(columnWidth)).join(GAP)
  return [...titles, rule, ...rows.flatMap(row => lay(columns, widths, row))].join('\n')
}

const GAP = '  '
const NARROWEST = 6
/** Words longer than this may be cut. */
const LONGEST_WORD = 18

function longestWord(text: string): number {
  return Math.max(...text.split(/\s+/u).map(widthOf))
}

function fit(columns: readonly TableColumn[], rows: readonly (readonly string[])[], width: number): number[] {
  const natural = columns.map((column, index) =>
    Math.max(widthOf(column.title), ...rows.map(row => widthOf(row[index] ?? ''))),
  )
  const least = columns.map((column, index) =>
    column.wraps
      ? Math.min(
          LONGEST_WORD,
          Math.max(NARROWEST, ...[column.title, ...rows.map(row => row[index] ?? '')].map(longestWord)),
        )
      : natural[index]!,
  )
  const widths = natural.map((width, index) =>
    Math.min(width, Math.max(least[index]!, columns[index]!.most ?? width)),
  )
  const total = () => widths.reduce((sum, each) => sum + each, 0) + GAP.length * (columns.length - 1)
  while (total() > width) {
    let widest = -1
    for (const index of columns.keys()) {
      if (widths[index]! <= least[index]!) continue
      if (widest < 0 || widths[index]! > widths[widest]!) widest = index
    }
    if (widest < 0) break
    widths[widest]! -= 1
  }
  return widths
}

function lay(columns: readonly TableColumn[], widths: readonly number[], row: readonly string[]): string[] {
  const cells = columns.map((column, index) => {
    const text = row[index] ?? ''
    return column.wraps ? wrap(text, widths[index]!) : [text]
  })
  const height = Math.max(...cells.map(cell => cell.length))
  return Array.from({ length: height }, (_, line) =>
    cells
      .map((cell, index) => pad(cell[line] ?? '', widths[index]!, columns[index]!.align ?? 'left'))
      .join(GAP)
      .trimEnd(),
  )
}

function pad(text: string, width: number, align: 'left' | 'right'): string {
  const space = ' '.repeat(Math.max(0, width - widthOf(text)))
  return align === 'right' ? space + text : text + space
}
