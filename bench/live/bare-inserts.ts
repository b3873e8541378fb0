import { join } from 'node:path'
import { openDatabase } from '@attemper/server/store/sqlite/open.ts'
import type { Figure } from '../figure.ts'
import { inFolder } from './bench-cellar.ts'
import { beer_C } from './bench-vessels.ts'

/** Rows in a second, by rows in a commit. */
export type BareInserts = ReadonlyMap<number, number>

const ROWS_IN_COMMIT = [50, 1000, 5000]
const LASTS_MS = 800
const STREAMS = 50

/**
 * The same rows straight into the same kind of database, with nothing around them: what the machine and its disk give at
 * best in this run, in commits as small and as large as those of the doors.
 */
export async function bareInserts(): Promise<{
  readonly figures: readonly Figure[]
  readonly bare: BareInserts
}> {
  const bare = new Map<number, number>()
  for (const rows of ROWS_IN_COMMIT) bare.set(rows, await insertFor(rows))
  const figures = [...bare].map(([rows, perSecond]) => ({
    name: `bare inserts, ${rows} in a commit`,
    value: perSecond,
    unit: '/s',
  }))
  return { figures, bare }
}

function insertFor(rowsInCommit: number): Promise<number> {
  return inFolder(async folder => {
    const db = openDatabase(join(folder, 'bare.sqlite'))
    const addStream = db.prepare(
      `insert into stream (vessel, instrument, quantity) values (?, 'Probe', 'beer')`,
    )
    for (let stream = 0; stream < STREAMS; stream++) addStream.run(`Vessel ${stream}`)
    const insert = db.prepare(
      'insert into recent (stream, at_ms, value, status) values (?, ?, ?, 0) on conflict do nothing',
    )
    const from_ms = Date.now() - 600_000
    const start_ms = performance.now()
    let n = 0
    while (performance.now() - start_ms < LASTS_MS) {
      db.exec('begin immediate')
      for (let row = 0; row < rowsInCommit; row++, n++) {
        insert.run(1 + (n % STREAMS), from_ms + Math.floor(n / STREAMS), beer_C(n))
      }
      db.exec('commit')
    }
    const perSecond = (1000 * n) / (performance.now() - start_ms)
    db.close()
    return perSecond
  })
}
