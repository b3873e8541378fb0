import { once } from 'node:events'
import { createServer, type IncomingMessage, type Server } from 'node:http'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { mqttAppliance } from '../doors/appliance/mqtt-appliance.ts'
import { decode } from '../doors/decode/decode.ts'
import { embeddedBroker } from '../doors/mqtt/embedded-broker.ts'
import type { MqttDoor } from '../doors/mqtt/mqtt-door.ts'
import { nameBook } from '../doors/name-book.ts'
import type { Report } from '../doors/report.ts'
import { fastClock } from '../live/clock.ts'
import type { VesselRecord } from '../store/store.ts'
import { type Demo, startDemo } from './demo-cellar.ts'

const CLOCK = { origin_ms: 1_764_612_000_000, realOrigin_ms: Date.now(), speed: 1200 }
const clock = fastClock(CLOCK.origin_ms, CLOCK.realOrigin_ms, CLOCK.speed)

/** As much of a cellar as the demonstration needs: it remembers vessels and batches, and hears both doors. */
const vessels: VesselRecord[] = []
const batches: string[] = []
const heardAtStart: boolean[] = []
const refused: string[] = []
const reports: Report[] = []
const listeners = new Set<() => void>()
const heardOf = (name: string) =>
  reports.filter(({ vessel, instrument }) => vessel === name && instrument === 'Probe')
const intake = {
  async accept(given: readonly Report[]) {
    reports.push(...given)
    for (const call of listeners) call()
    return { stored: given.length, repeated: 0, refused: [] }
  },
}

let door: MqttDoor
let server: Server
let demo: Demo

beforeAll(async () => {
  door = await embeddedBroker({ port: 0, host: '127.0.0.1', clock, intake, vessels: () => vessels })
  const names = nameBook(() => vessels)
  server = createServer(async (request, response) => {
    const body = await bodyOf(request)
    const answer = (status: number, value: unknown) => response.writeHead(status).end(JSON.stringify(value))
    if (request.url === '/readings') {
      const decoded = decode(request.headers['content-type'] ?? '', body, { names, now_ms: clock.now_ms() })
      refused.push(...decoded.refused.map(({ message }) => message))
      return answer(200, await intake.accept(decoded.reports))
    }
    const asked = /^\/vessels\/(.*)\/readiness$/.exec(request.url ?? '')?.[1]
    if (asked !== undefined) {
      const isHeard = heardOf(decodeURIComponent(asked)).length > 0
      return answer(200, { checks: [{ code: 'beer-probe-heard', state: isHeard ? 'ok' : 'not yet' }] })
    }
    const text = JSON.parse(body.toString()) as Record<string, string>
    if (request.url === '/batches') {
      batches.push(text.vessel!)
      heardAtStart.push(heardOf(text.vessel!).length > 0)
      return answer(201, { batch: `batch ${batches.length}` })
    }
    const { name } = readVessel(text.text!, 'vessel').vessel!
    vessels.push({ name, text: text.text!, doors: '', changed_ms: 0 })
    return answer(201, { name })
  }).listen(0, '127.0.0.1')
  await once(server, 'listening')
  demo = await startDemo({
    http: `http://127.0.0.1:${(server.address() as { port: number }).port}`,
    broker: { host: '127.0.0.1', port: door.port! },
    clock: CLOCK,
  })
})

afterAll(async () => {
  await demo.stop()
  server.closeAllConnections()
  server.close()
  await door.close()
})

test('three vessels of their own speak through both doors, on time, and obey', async () => {
  expect(demo.batches).toEqual(['batch 1', 'batch 2', 'batch 3'])
  expect(batches).toEqual(['Corner tank', 'Old larder', 'Spare room bucket'])
  expect(heardAtStart).toEqual([true, true, true])

  const streams = () =>
    new Set(reports.map(({ vessel, instrument, quantity }) => `${vessel}/${instrument}/${quantity}`))
  await until(() => streams().size === 10)
  expect([...streams()].sort()).toEqual([
    'Corner tank/Air probe/air',
    'Corner tank/Float/beer',
    'Corner tank/Float/gravity',
    'Corner tank/Probe/beer',
    'Old larder/Air probe/air',
    'Old larder/Float/beer',
    'Old larder/Float/gravity',
    'Old larder/Probe/beer',
    'Spare room bucket/Float/gravity',
    'Spare room bucket/Probe/beer',
  ])
  const gravity = (vessel: string) =>
    reports.find(r => r.vessel === vessel && r.quantity === 'gravity')!.value
  // Pitched at once, and most of a day before.
  expect(gravity('Corner tank')).toBeGreaterThan(1.044)
  expect(gravity('Old larder')).toBeLessThan(1.043)
  expect(refused).toEqual([])

  const air = () => reports.findLast(r => r.vessel === 'Old larder' && r.instrument === 'Air probe')!
  const before = air()
  const now_s = Math.floor(clock.now_ms() / 1000)
  const command = { appliance: 'cooler', on: true, until_s: now_s + 3600, fence: now_s } as const
  expect(await mqttAppliance('Old larder', 'cooler', door, clock).send(command)).toMatchObject({ sent: true })
  await until(() => air().value < before.value - 5)
  const late_s = clock.now_ms() / 1000 - air().at_ms / 1000
  // Two seconds of real time on this fast clock, for a machine that is busy.
  expect(late_s).toBeLessThan(2 * CLOCK.speed)
  // It lapses by itself, and the air warms up again.
  await until(() => air().at_ms / 1000 > now_s + 3600 + 900)
  const lapsed_C = air().value
  await until(() => air().value > lapsed_C + 1)
})

function until(isTrue: () => boolean): Promise<void> {
  return new Promise(resolve => {
    const look = () => {
      if (!isTrue()) return
      listeners.delete(look)
      resolve()
    }
    listeners.add(look)
    look()
  })
}

async function bodyOf(request: IncomingMessage): Promise<Buffer> {
  const parts: Buffer[] = []
  for await (const part of request) parts.push(part as Buffer)
  return Buffer.concat(parts)
}
