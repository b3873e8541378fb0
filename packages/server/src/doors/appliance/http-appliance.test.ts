import { once } from 'node:events'
import { createServer, type Server } from 'node:http'
import { afterEach, expect, test } from 'vitest'
import { readDoorSettings } from '../door-settings.ts'
import { httpAppliance } from './http-appliance.ts'
import { vesselAppliances } from './vessel-appliances.ts'

let server: Server | null = null
afterEach(() => server?.closeAllConnections())
afterEach(() => server?.close())

const clock = { now_ms: () => 1_764_612_000_900, speed: 1 }
const command = { appliance: 'cooler', on: true, until_s: 1_764_612_900, fence: 7 } as const

/** A plug that answers with each status in turn; 0: not at all. */
async function plug(...answers: readonly number[]) {
  const heard: { method: string | undefined; body: unknown }[] = []
  server = createServer((request, response) => {
    let body = ''
    request.on('data', (chunk: Buffer) => {
      body += chunk.toString()
    })
    request.on('end', () => {
      const status = answers[heard.length] ?? 200
      heard.push({ method: request.method, body: JSON.parse(body) })
      if (status !== 0) response.writeHead(status).end()
    })
  }).listen(0, '127.0.0.1')
  await once(server, 'listening')
  return { heard, url: `http://127.0.0.1:${(server.address() as { port: number }).port}/cooler` }
}

test('puts the target of a thermostat, and "off" as none', async () => {
  const { heard, url } = await plug()
  const lease = { until_s: 1_764_612_900, fence: 7 }
  for (const target_C of [18.5, null]) {
    const sent = await httpAppliance(url, clock).send({ appliance: 'thermostat', target_C, ...lease })
    expect(sent).toEqual({ sent: true, problem: null, confirmed: 'answer' })
  }
  const body = { until: 1_764_612_900, fence: 7, at: 1_764_612_000 }
  expect(heard.map(each => each.body)).toEqual([
    { target: 18.5, ...body },
    { target: null, ...body },
  ])
})

test('puts the command', async () => {
  const { heard, url } = await plug()
  expect(await httpAppliance(url, clock).send(command)).toEqual({
    sent: true,
    problem: null,
    confirmed: 'answer',
  })
  expect(heard).toEqual([
    { method: 'PUT', body: { on: true, until: 1_764_612_900, fence: 7, at: 1_764_612_000 } },
  ])
})

test('tries once more, then says what was in the way', async () => {
  const { heard, url } = await plug(0, 204, 500, 503)
  const door = httpAppliance(url, clock, 100)
  expect(await door.send(command)).toEqual({ sent: true, problem: null, confirmed: 'answer' })
  expect(heard).toHaveLength(2)
  expect(await door.send(command)).toEqual({
    sent: false,
    refused: true,
    problem: `${url}: it answers 503 instead of 200`,
  })
  expect(heard).toHaveLength(4)
})

test('nobody there, or nobody answers', async () => {
  const { url } = await plug(0, 0)
  expect((await httpAppliance(url, clock, 50).send(command)).problem).toBe(`${url}: no answer within 0.05 s`)
  server!.closeAllConnections()
  server!.close()
  await once(server!, 'close')
  expect((await httpAppliance(url, clock).send(command)).problem).toMatch(/ECONNREFUSED/)
})

test('each appliance of a vessel by its own door', async () => {
  const { heard, url } = await plug()
  const { settings } = readDoorSettings(`heater: mqtt\ncooler: { http: ${url} }`, 'doors')
  const published: string[] = []
  const publish = async (topic: string) => {
    published.push(topic)
    return null
  }
  const door = vesselAppliances('Garage fridge', settings!, { publish }, clock)
  await door.send(command)
  await door.send({ ...command, appliance: 'heater' })
  expect(heard).toHaveLength(1)
  expect(published).toEqual(['attemper/garage-fridge/appliance/heater'])
  await door.close()
})
