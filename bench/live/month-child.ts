/** A month of a batch in a process of its own: `node --expose-gc bench/live/month-child.ts FOLDER`. */

import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { openAlarms } from '@attemper/server/alarms/alarm-keeper.ts'
import { databaseIn } from '@attemper/server/data-folder.ts'
import { VesselWorld } from '@attemper/server/demo/vessel-world.ts'
import { openCellar } from '@attemper/server/live/open-cellar.ts'
import { ManualTime } from '@attemper/server/live/testing/manual-time.ts'
import { watchBatches } from '@attemper/server/start/batch-alarms.ts'
import { openDatabase } from '@attemper/server/store/sqlite/open.ts'
import { SqliteStore } from '@attemper/server/store/sqlite/sqlite-store.ts'
import { BEER, benchVessels, PLAN } from './bench-vessels.ts'

export interface DayOfMonth {
  readonly day: number
  /** The whole process, and what V8 keeps of it after collecting garbage, MB. */
  readonly memory_MB: number
  readonly heap_MB: number
  readonly readings: number
}

const DAYS = 30
const MINUTE_MS = 60_000
const MINUTES_IN_DAY = 1440
const START_MS = Date.UTC(2026, 11, 4, 18)

/** Longer than the month, so that the batch runs until its end. */
const LONG_PLAN = PLAN.replace('since pitch: 14 d', 'since pitch: 40 d')

async function month(folder: string, tell: (day: DayOfMonth) => void): Promise<void> {
  const file = databaseIn(folder)
  const db = openDatabase(file)
  // The month would pass with waiting for the disk, of which memory takes no notice.
  db.exec('pragma synchronous = off')
  const store = new SqliteStore(db, file, { largestGroup: 1 })
  const time = new ManualTime(START_MS)
  const text = benchVessels(1)[0]!.text.replace('every: 1 s', 'every: 60 s')
  const { vessel } = readVessel(text, 'vessel')
  const { beer } = readBeer(BEER, 'beer')
  if (vessel === null || beer === null) throw new Error('the files of the bench can not be read')
  const world = new VesselWorld(vessel, beer, START_MS / 1000, 1)
  const alarms = openAlarms({ store, clock: time, timers: time, notify: () => undefined })
  const cellar = openCellar({
    store,
    clock: time,
    timers: time,
    log: () => undefined,
    doorFor: () => ({
      send: async command => {
        world.obey(command)
        return { sent: true, problem: null }
      },
      close: async () => undefined,
    }),
  })
  watchBatches(cellar, alarms, fault => {
    throw fault
  })
  cellar.putVessel(text, '', 'bench')
  const { batch } = cellar.startBatch({ vessel: vessel.name, planText: LONG_PLAN, beerText: BEER }, 'bench')
  if (batch === null) throw new Error('the batch could not be started')

  let readings = 0
  for (let minute = 1; minute <= DAYS * MINUTES_IN_DAY; minute++) {
    const at_ms = START_MS + minute * MINUTE_MS
    time.moveTo(at_ms)
    const reports = world.advanceTo(at_ms / 1000).map(({ from, value, at_s }) => ({
      vessel: vessel.name,
      instrument: from.instrument.name,
      quantity: from.channel.quantity,
      value,
      at_ms: at_s * 1000,
      status: 'good' as const,
    }))
    readings += (await cellar.accept(reports, 'bench')).stored
    // Alarms are looked at after the change that they are about.
    await new Promise(setImmediate)
    if (minute % 60 === 0) while (store.seal(at_ms));
    if (minute % MINUTES_IN_DAY === 0) tell({ day: minute / MINUTES_IN_DAY, ...memory(), readings })
  }
  if (cellar.view(batch).state.batch !== 'running') throw new Error('the batch ended before the month did')
  await cellar.close()
  store.close()
}

function memory(): { readonly memory_MB: number; readonly heap_MB: number } {
  globalThis.gc!()
  const { rss, heapUsed } = process.memoryUsage()
  return { memory_MB: rss / 1e6, heap_MB: heapUsed / 1e6 }
}

if (process.argv[1] === import.meta.filename) {
  const days: DayOfMonth[] = []
  await month(process.argv[2]!, day => days.push(day))
  process.stdout.write(JSON.stringify(days))
}
