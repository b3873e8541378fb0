import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { slugOf } from '@attemper/server/doors/slug.ts'
import { fastClock } from '@attemper/server/live/clock.ts'
import { connectAsync } from 'mqtt'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Addresses, CellarProcess } from './cellar-process.ts'
import { freePorts } from './free-ports.ts'

/**
 * Fermentations that were recorded between 1829 and 1878, played to a cellar in a process of its own at the hours of the
 * record, each in a vessel of its own: once through the HTTP door and once through the MQTT door. What is in the records
 * afterwards is compared with the record, reading by reading. Sources: test/published/data/recorded/README.md.
 */
const RECORDS = [
  'sduk1829-scotch-ale',
  'ure1837-grain-1',
  'fischern1847-must-1',
  'haecker1864-pitched',
  'pedersen1878-cold-still',
  'pedersen1878-warm-a',
]
/** A day in a little less than half a second. */
const SPEED = 200_000
/** Until the doors are open, on the cellar's clock. */
const HEAD_START_S = 2 * 3600
const TICK_MS = 5

const vesselText = (name: string) => `vessel: ${name}
beer: 1000 L
heat paths: { beer to wall: 100 W/°C, wall stores: 100 kJ/°C, wall to room: 50 W/°C }
room: { average: 12 °C }
instruments:
  - { instrument: Saccharometer, every: 2 d, measures: { gravity: {} } }
  - { instrument: Thermometer, every: 2 d, measures: { beer: {} } }
  - { instrument: Second saccharometer, every: 2 d, measures: { gravity: {} } }
  - { instrument: Second thermometer, every: 2 d, measures: { beer: {} } }
`

interface Played {
  readonly vessel: string
  readonly quantity: 'gravity' | 'beer'
  readonly at_s: number
  readonly value: number
}

const INSTRUMENTS = { gravity: 'saccharometer', beer: 'thermometer' } as const

/** The numbers of a record as readings that begin at `pitched_s`, in order of time. */
function played(name: string, pitched_s: number): readonly Played[] {
  const file = new URL(`../published/data/recorded/${name}.csv`, import.meta.url)
  const [header = '', ...lines] = readFileSync(file, 'utf8').trim().split('\n')
  const columns = header.split(',')
  return lines.flatMap(line => {
    const cells = line.split(',')
    const cell = (column: string) => cells[columns.indexOf(column)] ?? ''
    const at_s = pitched_s + Math.round(Number(cell('time_h')) * 3600)
    return (['gravity', 'beer'] as const).flatMap(quantity => {
      const text = cell(quantity === 'beer' ? 'temperature_C' : 'gravity')
      return text === '' ? [] : [{ vessel: name, quantity, at_s, value: Number(text) }]
    })
  })
}

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-recorded-'))
})
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

async function post(url: string, path: string, kind: string, body: unknown): Promise<unknown> {
  const headers = { 'content-type': kind, 'x-attemper': '1' }
  const response = await fetch(`${url}${path}`, { method: 'POST', headers, body: JSON.stringify(body) })
  if (!response.ok) throw new Error(`${path}: ${await response.text()}`)
  return response.json()
}

/** SenML with the common parts said once (RFC 8428, section 4.1): the vessel by the address, the time as the base. */
function packOf(readings: readonly Played[], instrumentOf: (quantity: Played['quantity']) => string) {
  const base_s = readings[0]!.at_s
  return readings.map(({ quantity, at_s, value }, n) => ({
    ...(n === 0 ? { bt: base_s } : {}),
    n: `${instrumentOf(quantity)}/${quantity}`,
    ...(quantity === 'beer' ? { u: 'Cel' } : {}),
    t: at_s - base_s,
    v: value,
  }))
}

test('all that is played through both doors is in the records, once and unchanged', async () => {
  const [port, mqttPort] = (await freePorts(2)) as [number, number]
  const cellar = new CellarProcess()
  const options = { dataDir: join(folder, 'data'), host: '127.0.0.1', port, mqttPort, speed: SPEED }
  const { url, mqttUrl, clock }: Addresses = await cellar.start(options)
  const mqtt = await connectAsync(mqttUrl)
  try {
    for (const name of RECORDS) await post(url, '/vessels', 'application/json', { text: vesselText(name) })
    const now = fastClock(clock.origin_ms, clock.realOrigin_ms, clock.speed)
    const now_s = () => Math.floor(now.now_ms() / 1000)
    const pitched_s = now_s() + HEAD_START_S
    const all = RECORDS.flatMap(name => played(name, pitched_s)).sort((a, b) => a.at_s - b.at_s)
    let told = 0
    let occasions = 0

    /** What is due for one vessel: one pack through HTTP, and through MQTT gravities alone and temperatures as a pack. */
    const tell = async (vessel: string, readings: readonly Played[]) => {
      const packed = packOf(readings, quantity => INSTRUMENTS[quantity])
      const path = `/readings?vessel=${slugOf(vessel)}`
      const receipt = await post(url, path, 'application/senml+json', packed)
      expect(receipt).toEqual({ stored: readings.length, repeated: 0, refused: [] })
      // A device whose acknowledgement was lost says it all again.
      const again = await post(url, path, 'application/senml+json', packed)
      expect(again).toEqual({ stored: 0, repeated: readings.length, refused: [] })
      const topic = `attemper/${slugOf(vessel)}`
      for (const { at_s, value } of readings.filter(({ quantity }) => quantity === 'gravity')) {
        const text = JSON.stringify({ value, at: at_s })
        await mqtt.publishAsync(`${topic}/second-saccharometer/gravity`, text, { qos: 1 })
      }
      const beer = readings.filter(({ quantity }) => quantity === 'beer')
      if (beer.length === 0) return
      const pack = JSON.stringify(packOf(beer, quantity => `second-${INSTRUMENTS[quantity]}`))
      for (let time = 0; time < 2; time++) await mqtt.publishAsync(`${topic}/senml`, pack, { qos: 1 })
    }

    while (told < all.length) {
      const until_s = now_s()
      const due = all.slice(told).filter(({ at_s }) => at_s <= until_s)
      for (const [vessel, readings] of Map.groupBy(due, each => each.vessel)) await tell(vessel, readings)
      if (due.length > 0) occasions++
      told += due.length
      await setTimeout(TICK_MS)
    }

    // It was played, not handed in at the end, however slow the machine is.
    expect(occasions).toBeGreaterThan(20)
    expect(all.length).toBeGreaterThan(50)
    for (const vessel of RECORDS) {
      for (const quantity of ['gravity', 'beer'] as const) {
        const expected = all
          .filter(each => each.vessel === vessel && each.quantity === quantity)
          .map(({ at_s, value }) => ({ at_ms: at_s * 1000, value, status: 'good' }))
        for (const instrument of [INSTRUMENTS[quantity], `second ${INSTRUMENTS[quantity]}`]) {
          const name = instrument.charAt(0).toUpperCase() + instrument.slice(1)
          const query = new URLSearchParams({ vessel, instrument: name, quantity, from: '0' })
          const kept = await fetch(`${url}/readings?${query}`).then(response => response.json())
          expect(kept, `${vessel}, ${name}`).toEqual(expected)
        }
      }
    }
  } finally {
    await mqtt.endAsync(true)
    await cellar.kill()
  }
}, 120_000)
