import { DatabaseSync } from 'node:sqlite'
import { HOUR_MS } from '@attemper/server/store/sqlite/block.ts'
import { openSqliteStore } from '@attemper/server/store/sqlite/open.ts'
import type { Stream } from '@attemper/server/store/store.ts'
import { beer_C } from './bench-vessels.ts'

export const YEAR_STREAM: Stream = { vessel: 'Bench fridge 1', instrument: 'Probe', quantity: 'beer' }
/** Readings begin and end within an hour, as they do for a brewer who looks at the last year. */
export const YEAR_FROM_MS = Date.UTC(2025, 10, 24, 9, 17, 3)
const DAYS = 365
/** Taken in one by one; the hours of the others are copies of theirs. */
const OWN_DAYS = 5
const DAY_MS = 24 * HOUR_MS
const SECOND_MS = 1000
const AT_ONCE = 5000

export const YEAR_READINGS = (DAYS * DAY_MS) / SECOND_MS
export const YEAR_TO_MS = YEAR_FROM_MS + DAYS * DAY_MS

/**
 * A database with a year of readings, one each second. The first days go through the store as any readings do, and are
 * packed by it; the packed hours of the others are copied from those, which only spares the time.
 */
export async function writeYear(file: string, from_ms = YEAR_FROM_MS): Promise<void> {
  const store = openSqliteStore(file, { largestGroup: AT_ONCE })
  // A little more than what is copied, so that every copied hour is whole.
  await addReadings(store, from_ms, OWN_DAYS + 1 / 24)
  while (store.seal(from_ms + (DAYS + 1) * DAY_MS));
  const db = new DatabaseSync(file)
  const firstHour = Math.ceil(from_ms / HOUR_MS)
  const copies = DAYS / OWN_DAYS
  for (const [table, columns] of TABLES) {
    const copy = db.prepare(
      `insert or replace into ${table} (stream, hour, ${columns})
       select stream, hour + ?, ${columns} from ${table} where hour >= ? and hour < ? order by hour`,
    )
    for (let n = 1; n < copies; n++) {
      copy.run(n * OWN_DAYS * 24, firstHour, firstHour + OWN_DAYS * 24)
    }
  }
  db.exec('pragma wal_checkpoint(truncate)')
  db.close()
  store.close()
}

const TABLES = [
  ['block', 'count, data'],
  ['minute_cells', 'data'],
  ['hour_cell', 'count, min, max, sum'],
] as const

async function addReadings(
  store: ReturnType<typeof openSqliteStore>,
  from_ms: number,
  days: number,
): Promise<void> {
  const count = (days * DAY_MS) / SECOND_MS
  for (let n = 0; n < count; n += AT_ONCE) {
    await store.addReadings(
      Array.from({ length: Math.min(AT_ONCE, count - n) }, (_, i) => ({
        ...YEAR_STREAM,
        at_ms: from_ms + (n + i) * SECOND_MS,
        value: beer_C(n + i),
        status: 'good' as const,
      })),
    )
  }
}
