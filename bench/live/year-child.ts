/** One chart in a fresh process: `node bench/live/year-child.ts FILE FROM_MS TO_MS COUNT`. */
import { openSqliteStore } from '@attemper/server/store/sqlite/open.ts'
import { YEAR_STREAM } from './year-of-readings.ts'

export interface ChartTimes {
  readonly open_ms: number
  readonly first_ms: number
  readonly second_ms: number
  readonly buckets: number
  readonly readings: number
}

if (process.argv[1] === import.meta.filename) {
  const [file = '', from = '', to = '', count = ''] = process.argv.slice(2)
  const begun_ms = performance.now()
  const store = openSqliteStore(file)
  const opened_ms = performance.now()
  const buckets = store.buckets(YEAR_STREAM, Number(from), Number(to), Number(count))
  const first_ms = performance.now()
  store.buckets(YEAR_STREAM, Number(from), Number(to), Number(count))
  const times: ChartTimes = {
    open_ms: opened_ms - begun_ms,
    first_ms: first_ms - opened_ms,
    second_ms: performance.now() - first_ms,
    buckets: buckets.length,
    readings: buckets.reduce((sum, bucket) => sum + bucket.count, 0),
  }
  store.close()
  process.stdout.write(JSON.stringify(times))
}
