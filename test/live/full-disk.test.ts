import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import { connectAsync } from 'mqtt'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { CellarProcess } from './cellar-process.ts'
import { freePorts } from './free-ports.ts'
import { OutsideVessel, type Sent } from './outside-vessel.ts'

/**
 * A whole cellar, with a batch in it, on a disk that becomes full: the batch goes on being controlled, somebody is told, and
 * nothing is acknowledged that is not stored. Then it is killed, there is room again, and all goes on.
 */
const SPEED = 600
/** Some seconds of readings. */
const ROOM_B = 2e6

const VESSEL = `vessel: Small keg
beer: 2 L
heat paths: { beer to wall: 12 W/°C, wall stores: 0.2 kJ/°C, wall to room: 3 W/°C }
room: { average: 18 °C }
heater: { power: 60 W, stores: 0.1 kJ/°C, to wall: 3 W/°C, to air: 0.5 W/°C }
instruments:
  - { instrument: Probe, every: 20 s, measures: { beer: {} } }
control: { method: on-off, heat: { start: 0.2 °C, stop: 0 °C } }
interlocks: { command lasts: 15 min, heater answers within: 0 min }
`
const BEER = `beer: Overflowing ale
original gravity: 1.050
final gravity: 1.012
starts at: 22 °C
start: 2026-12-04T18:00
yeast: { name: House ale yeast, class: ale }
`
const PLAN = `plan: Warm
limits: { lowest: 5 °C, highest: 28 °C }
stages:
  - { stage: Hold, hold: 22 °C, until: { since pitch: 60 d }, at most: 70 d, if late: ask }
`

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-full-'))
})
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

test('a full disk stops neither control nor the truth of what is acknowledged', async () => {
  const [port, mqttPort] = (await freePorts(2)) as [number, number]
  const options = { dataDir: join(folder, 'data'), host: '127.0.0.1', port, mqttPort, speed: SPEED }
  const { vessel } = readVessel(VESSEL, 'vessel')
  const { beer } = readBeer(BEER, 'beer')
  const full = new CellarProcess(ROOM_B)
  const again = new CellarProcess()
  const addresses = await full.start(options)
  const { url } = addresses
  const ask = async (path: string, body?: unknown) => {
    const response = await fetch(`${url}${path}`, {
      method: body === undefined ? 'GET' : 'POST',
      headers: { 'x-attemper': '1', 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    })
    return { status: response.status, body: await response.json() }
  }
  expect((await ask('/vessels', { text: VESSEL })).status).toBe(201)
  const outside = new OutsideVessel(addresses, vessel!, beer!, { pitchedBefore_s: 3600, seed: 7 })
  const commands: { fence: number; at_ms: number }[] = []
  const listener = await connectAsync(addresses.mqttUrl, { reconnectPeriod: 50 })
  listener.on('error', () => undefined)
  listener.on('message', (_, payload) => commands.push(JSON.parse(payload.toString())))
  await listener.subscribeAsync('attemper/small-keg/appliance/heater')
  const started = await ask('/batches', { vessel: 'Small keg', plan: PLAN, beer: BEER })
  expect(started.status, JSON.stringify(started.body)).toBe(201)
  const { batch } = started.body as { batch: string }
  const view = async () => (await ask(`/batches/${batch}`)).body as BatchView

  // It is told as soon as it happens.
  const isTold = async () => {
    const { body } = await ask('/alarms')
    return (body as readonly { code: string }[]).some(({ code }) => code === 'storage-trouble')
  }
  await expect.poll(isTold, { timeout: 60_000, interval: 100 }).toBe(true)
  expect(outside.acknowledged.length, 'it worked before').toBeGreaterThan(5)
  const readiness = (await ask('/vessels/Small%20keg/readiness')).body as {
    checks: readonly { code: string; state: string }[]
  }
  expect(readiness.checks).toContainEqual(expect.objectContaining({ code: 'records-kept', state: 'warning' }))

  // The heater goes on and off as before, by what is heard, though nothing of it can be written down.
  const before = { commands: commands.length, view: await view() }
  await expect.poll(() => commands.length - before.commands, { timeout: 60_000 }).toBeGreaterThan(5)
  const after = await view()
  expect(after.state.now_s).toBeGreaterThan(before.view.state.now_s! + 600)
  expect(after.state.batch).toBe('running')
  expect(Math.abs(after.beer_C! - 22)).toBeLessThan(1)
  const fences = commands.map(({ fence }) => fence)
  expect(fences).toEqual(fences.toSorted((a, b) => a - b))
  // A small write may still find its place; the others are sent again and again, and never acknowledged.
  expect(outside.sent.length - outside.acknowledged.length).toBeGreaterThan(5)

  // The brewer is obeyed too, and told that it may be forgotten.
  const held = await ask(`/batches/${batch}/hold`, {})
  expect(held.status).toBe(503)
  expect(held.body).toMatchObject({ code: 'storage', message: expect.stringMatching(/^Done, but/) })
  expect((await view()).state.batch).toBe('held')

  // A kill, and room again: all that was acknowledged is there, and the rest is handed in now.
  await full.kill()
  const promised = [...outside.acknowledged]
  await again.start(options)
  await expect.poll(() => outside.acknowledged.length, { timeout: 60_000 }).toBeGreaterThan(promised.length)
  const known = await storedValues(ask, outside.now_s)
  const isLost = ({ at_s, value }: Sent) => known.get(at_s) !== value
  expect(promised.filter(isLost)).toEqual([])
  expect((await view()).state.startedAt_s).toBe(after.state.startedAt_s)
  expect((await view()).state.batch).toBe('running')
  await listener.endAsync(true)
  await outside.close()
  await again.kill()
}, 180_000)

/** By the second at which they were taken. */
async function storedValues(
  ask: (path: string) => Promise<{ readonly body: unknown }>,
  now_s: number,
): Promise<ReadonlyMap<number, number>> {
  const query = new URLSearchParams({
    vessel: 'Small keg',
    instrument: 'Probe',
    quantity: 'beer',
    limit: '100000',
  })
  query.set('from', String((now_s - 30 * 86_400) * 1000))
  query.set('to', String((now_s + 86_400) * 1000))
  const { body } = await ask(`/readings?${query}`)
  return new Map(
    (body as readonly { at_ms: number; value: number }[]).map(each => [each.at_ms / 1000, each.value]),
  )
}
