import { databaseIn } from '@attemper/server/data-folder.ts'
import { openCellar } from '@attemper/server/live/open-cellar.ts'
import { ManualTime } from '@attemper/server/live/testing/manual-time.ts'
import { openSqliteStore } from '@attemper/server/store/sqlite/open.ts'
import { BEER, benchVessels, PLAN } from '../live/bench-vessels.ts'
import { writeYear } from '../live/year-of-readings.ts'

const YEAR_MS = 365 * 86_400_000
/** It runs all the while. */
const LONG_PLAN = PLAN.replace('since pitch: 14 d', 'since pitch: 400 d')

/** Writes a batch that was started a year ago, with a reading at each second since; returns its name in addresses. */
export async function writeYearBatch(folder: string): Promise<string> {
  const file = databaseIn(folder)
  const from_ms = Date.now() - YEAR_MS
  await writeYear(file, from_ms)
  const store = openSqliteStore(file)
  const time = new ManualTime(from_ms)
  const cellar = openCellar({
    store,
    clock: time,
    timers: time,
    log: () => undefined,
    doorFor: () => ({ send: async () => ({ sent: true, problem: null }), close: async () => undefined }),
  })
  const { name, text } = benchVessels(1)[0]!
  cellar.putVessel(text, '', 'bench')
  const { batch } = cellar.startBatch({ vessel: name, planText: LONG_PLAN, beerText: BEER }, 'bench')
  if (batch === null) throw new Error('the batch of a year could not be started')
  await cellar.close()
  store.close()
  return batch
}
