/** Writes readings until the store refuses one, and prints what was acknowledged and what the refusal said. */
import { openSqliteStore } from '../sqlite/open.ts'
import { StoreError } from '../store-error.ts'
import { BEER, reading } from './sample-records.ts'

const HOUR = 3_600_000
const T0 = Math.floor(1_790_000_000_000 / HOUR) * HOUR
const AT_ONCE = 500

const store = openSqliteStore(process.argv[2] ?? '')
let acknowledged = 0
let code: string | null = null
while (code === null && acknowledged < 100_000) {
  try {
    const readings = Array.from({ length: AT_ONCE }, (_, i) =>
      reading(BEER, T0 + (acknowledged + i) * 1000, Math.sin(acknowledged + i)),
    )
    acknowledged += (await store.addReadings(readings)).stored
  } catch (error) {
    if (!(error instanceof StoreError)) throw error
    code = error.code
  }
}
const countAfter = store.readings(BEER, T0, T0 + 1000 * HOUR).length
console.log(JSON.stringify({ acknowledged, code, countAfter }))
