import type { Figure } from '../figure.ts'
import type { BareInserts } from './bare-inserts.ts'
import { BenchCellar, inFolder, readingsIn } from './bench-cellar.ts'
import { type BenchVessel, beer_C, benchVessels } from './bench-vessels.ts'
import { besideBare } from './beside-bare.ts'
import { HttpSender } from './http-load.ts'
import { type Loaded, measureLoad, requireAll } from './load.ts'

const CONNECTIONS = 50
const MEASURED = { warmUp_ms: 1500, measured_ms: 4000 }
/** Before now: nothing is dated in the future, and nothing is old enough to be packed meanwhile. */
const BEGUN_MS = 600_000

/** Readings by HTTP, each acknowledged after it was committed: one instrument in a vessel of its own on each connection. */
export async function httpReadings(bare: BareInserts): Promise<readonly Figure[]> {
  const single = await load(1)
  const hundred = await load(100)
  return [
    {
      name: `single readings by HTTP, ${CONNECTIONS} connections`,
      value: single.perSecond,
      unit: '/s',
      goal: { first: 10_000, aim: 15_000, better: 'more' },
      note: besideBare(single, bare),
    },
    {
      name: 'the same, 100 readings in each request',
      value: hundred.perSecond,
      unit: '/s',
      goal: { first: 200_000, aim: 400_000, better: 'more' },
      note: besideBare(hundred, bare),
    },
  ]
}

function load(perRequest: number): Promise<Loaded> {
  return inFolder(async folder => {
    const loaded = await BenchCellar.run(folder, async cellar => {
      const vessels = benchVessels(CONNECTIONS)
      for (const { text } of vessels) await cellar.addVessel(text)
      const from_ms = Date.now() - BEGUN_MS
      return measureLoad(
        MEASURED,
        () => cellar.processorTime_s(),
        async acknowledgements => {
          const senders = vessels.map(vessel => {
            const next = packs(vessel, from_ms, perRequest)
            return new HttpSender(cellar.url, next, perRequest, acknowledgements)
          })
          await Promise.all(senders.map(({ ended }) => ended))
        },
      )
    })
    requireAll(loaded.acknowledged, readingsIn(folder))
    return loaded
  })
}

/** Packs of SenML of one probe, whose readings are a millisecond apart. */
function packs({ slug }: BenchVessel, from_ms: number, perRequest: number): () => string {
  let n = 0
  return () => {
    let pack = `[{"bn":"${slug}/probe/beer","bu":"Cel"`
    for (let i = 0; i < perRequest; i++, n++) {
      pack += `${i === 0 ? ',' : ',{'}"t":${(from_ms + n) / 1000},"v":${beer_C(n)}}`
    }
    return `${pack}]`
  }
}
