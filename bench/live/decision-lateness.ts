import { DatabaseSync } from 'node:sqlite'
import { databaseIn } from '@attemper/server/data-folder.ts'
import { REAL_CLOCK } from '@attemper/server/live/clock.ts'
import { openCellar } from '@attemper/server/live/open-cellar.ts'
import { HOUR_MS } from '@attemper/server/store/sqlite/block.ts'
import { openSqliteStore } from '@attemper/server/store/sqlite/open.ts'
import type { Figure } from '../figure.ts'
import { BenchCellar, inFolder, readingsIn } from './bench-cellar.ts'
import { BEER, type BenchVessel, beer_C, benchVessels, PLAN } from './bench-vessels.ts'
import { requireAll } from './load.ts'
import { MqttDevice } from './mqtt-device.ts'

const VESSELS = 200
const EVERY_MS = 1000
/** A cellar that has just been started is slow for some seconds; it runs for weeks. */
const WARM_UP_SECONDS = 5
const SECONDS = 15
/** The devices are connected and the batches taken up by then. */
const BEGINS_AFTER_MS = 500
/** Of each vessel, waiting to be packed when the cellar starts, so that it packs all the while. */
const PAST_HOURS = 2
const AT_ONCE = 5000

/**
 * How late the decisions of 200 vessels are that run at once, while past readings are packed. Each has a reading at every
 * second, planned evenly over it. It is acknowledged after it was committed, the engine was called and its commands were
 * handed over, so the time from the planned moment to the acknowledgement is the lateness of the decision at most.
 */
export async function decisionLateness(): Promise<readonly Figure[]> {
  return inFolder(async folder => {
    const vessels = benchVessels(VESSELS)
    await startBatches(folder, vessels)
    const past = await addPast(folder, vessels)
    const late_ms = await BenchCellar.run(folder, cellar => live(cellar, vessels))
    requireAll(past + late_ms.length, readingsIn(folder))
    const counted_ms = late_ms.slice(WARM_UP_SECONDS * VESSELS).sort()
    const { packed, decisions } = countIn(folder)
    if (packed === 0 || decisions < VESSELS) throw new Error('nothing was packed, or nothing decided')
    const at = (share: number) => counted_ms[Math.floor(share * (counted_ms.length - 1))]!
    return [
      {
        name: `lateness of decisions, ${VESSELS} vessels, 99.9 % within`,
        value: at(0.999),
        unit: 'ms',
        note:
          `half within ${at(0.5).toFixed(1)} ms, 99 % within ${at(0.99).toFixed(1)} ms, the latest ` +
          `${at(1).toFixed(1)} ms; ${counted_ms.length} readings in ${SECONDS} s, while ${packed} hours were packed; ` +
          `${decisions} entries in the journals`,
      },
    ]
  })
}

async function startBatches(folder: string, vessels: readonly BenchVessel[]): Promise<void> {
  const store = openSqliteStore(databaseIn(folder))
  const cellar = openCellar({
    store,
    clock: REAL_CLOCK,
    log: () => undefined,
    doorFor: () => ({ send: async () => ({ sent: true, problem: null }), close: async () => undefined }),
  })
  for (const { name, text } of vessels) {
    cellar.putVessel(text, '', 'bench')
    const { batch } = cellar.startBatch({ vessel: name, planText: PLAN, beerText: BEER }, 'bench')
    if (batch === null) throw new Error(`no batch could be started in ${name}`)
  }
  await cellar.close()
  store.close()
}

/** Readings of hours that are past for so long that they are to be packed. */
async function addPast(folder: string, vessels: readonly BenchVessel[]): Promise<number> {
  const store = openSqliteStore(databaseIn(folder), { largestGroup: AT_ONCE })
  const from_ms = (Math.floor(Date.now() / HOUR_MS) - PAST_HOURS - 1) * HOUR_MS
  const seconds = (PAST_HOURS * HOUR_MS) / 1000
  for (const { name } of vessels) {
    await store.addReadings(
      Array.from({ length: seconds }, (_, n) => ({
        vessel: name,
        instrument: 'Probe',
        quantity: 'beer',
        at_ms: from_ms + n * 1000,
        value: beer_C(n),
        status: 'good' as const,
      })),
    )
  }
  store.close()
  return seconds * vessels.length
}

/** Sends each reading at its moment. How late each was acknowledged, in the order of sending. */
async function live(cellar: BenchCellar, vessels: readonly BenchVessel[]): Promise<Float64Array> {
  const devices = vessels.map(({ slug }) => new MqttDevice(cellar.mqttUrl, slug))
  await Promise.all(devices.map(({ connected }) => connected))
  const count = VESSELS * (WARM_UP_SECONDS + SECONDS)
  const late_ms = new Float64Array(count)
  const begin_ms = performance.now() + BEGINS_AFTER_MS
  const beginAt_ms = Date.now() + BEGINS_AFTER_MS
  let sent = 0
  let answered = 0
  await new Promise<void>((resolve, reject) => {
    const send = () => {
      for (; sent < count && plannedAfter_ms(sent) <= performance.now() - begin_ms; sent++) {
        const planned_ms = plannedAfter_ms(sent)
        const place = sent
        const second = Math.floor(sent / VESSELS)
        const vessel = sent % VESSELS
        const topic = `attemper/${vessels[vessel]!.slug}/probe/beer`
        // Each fridge is at another point of its saw-tooth, so that some of them have to be switched.
        const at_s = (beginAt_ms + planned_ms) / 1000
        const payload = `{"value":${beer_C(second + 40 * vessel)},"unit":"Cel","at":${at_s.toFixed(3)}}`
        devices[vessel]!.publish(topic, payload, problem => {
          if (problem !== undefined) return reject(problem)
          late_ms[place] = performance.now() - begin_ms - planned_ms
          answered++
          if (answered === count) resolve()
        })
      }
      if (sent < count) setTimeout(send, Math.max(0, plannedAfter_ms(sent) - (performance.now() - begin_ms)))
    }
    send()
  })
  for (const device of devices) device.close()
  return late_ms
}

/** The readings of a second are spread evenly over it. */
function plannedAfter_ms(n: number): number {
  return (n * EVERY_MS) / VESSELS
}

function countIn(folder: string): { readonly packed: number; readonly decisions: number } {
  const db = new DatabaseSync(databaseIn(folder), { readOnly: true })
  const number = (sql: string) => Number(Object.values(db.prepare(sql).get() ?? {})[0])
  const counts = {
    packed: number('select count(*) from block'),
    decisions: number('select count(*) from journal'),
  }
  db.close()
  return counts
}
