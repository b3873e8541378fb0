import { DatabaseSync } from 'node:sqlite'
import type { Figure } from '../figure.ts'

/** What a packed reading takes of the disk in the end, its share of the cells for charts and of everything else included. */
export function storedBytes(file: string): readonly Figure[] {
  const db = new DatabaseSync(file, { readOnly: true })
  const number = (sql: string) => Number(Object.values(db.prepare(sql).get() ?? {})[0])
  const readings = number('select sum(count) from block')
  const rows = number('select count(*) from recent')
  if (rows > 0) throw new Error(`${rows} readings are not packed`)
  const page_B = number('pragma page_size')
  const free_B = page_B * number('pragma freelist_count')
  const used_B = page_B * number('pragma page_count') - free_B
  const inBlocks_B = number('select sum(length(data)) from block')
  const inCells_B = number('select sum(length(data)) from minute_cells')
  db.close()
  return [
    {
      name: 'a stored reading (each second, 0.01 °C, with cells)',
      value: used_B / readings,
      unit: 'bytes',
      goal: { first: 2, aim: 0.7, better: 'less' },
      note:
        `${(used_B / 1e6).toFixed(1)} MB for ${readings} readings; in blocks ${(inBlocks_B / readings).toFixed(3)}, ` +
        `in minute cells ${(inCells_B / readings).toFixed(3)}; free pages, used again by the next readings, ` +
        `${(free_B / 1e6).toFixed(1)} MB more`,
    },
  ]
}
