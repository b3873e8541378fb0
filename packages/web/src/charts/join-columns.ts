/**
 * Columns over an axis of their own. A missing value is a silence, at which a line is broken; where another table has a
 * place on the axis and this one has not, its lines go on.
 */
export interface Table {
  /** Ascending. */
  readonly x: readonly number[]
  readonly columns: readonly (readonly (number | null)[])[]
}

export interface Joined {
  readonly x: readonly number[]
  /** Those of the first table, then of the second ... undefined: the table has nothing to say there. */
  readonly columns: readonly (readonly (number | null | undefined)[])[]
}

/** Puts tables onto one axis. */
export function joinColumns(tables: readonly Table[]): Joined {
  const x = [...new Set(tables.flatMap(table => [...table.x]))].sort((a, b) => a - b)
  const places = new Map(x.map((at, place) => [at, place]))
  const columns = tables.flatMap(table =>
    table.columns.map(column => {
      const joined = new Array<number | null | undefined>(x.length).fill(undefined)
      table.x.forEach((at, n) => {
        joined[places.get(at)!] = column[n] ?? null
      })
      return joined
    }),
  )
  return { x, columns }
}

/** The same with an empty place in each gap that is longer than `silence` after the place before it. */
export function brokenAt(table: Table, silence: (place: number) => number): Table {
  const x: number[] = []
  const columns: (number | null)[][] = table.columns.map(() => [])
  table.x.forEach((at, n) => {
    const before = table.x[n - 1]
    if (before !== undefined && at - before > silence(n - 1)) {
      x.push((before + at) / 2)
      for (const column of columns) column.push(null)
    }
    x.push(at)
    table.columns.forEach((column, number) => {
      columns[number]!.push(column[n] ?? null)
    })
  })
  return { x, columns }
}
