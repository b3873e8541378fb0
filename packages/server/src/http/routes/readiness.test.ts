import { readFileSync } from 'node:fs'
import type { StorageProblem } from '@attemper/core/readiness/check.ts'
import { expect, test } from 'vitest'
import type { Readiness } from '../published.ts'
import { PROGRAM, startBatch, startTestServer, type TestServer, VESSEL } from '../testing/test-server.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../../../examples/${name}`, import.meta.url), 'utf8')
const BEER = example('amber-ale.beer.yaml')

const MINUTE_MS = 60_000
const url = `/vessels/${encodeURIComponent(VESSEL)}/readiness`

async function look({ app }: TestServer, payload?: object): Promise<Readiness> {
  const answer = await app.inject(
    payload === undefined ? url : { method: 'POST', url, headers: PROGRAM, payload },
  )
  expect(answer.statusCode).toBe(200)
  return answer.json<Readiness>()
}

const states = ({ checks }: Readiness) =>
  Object.fromEntries(checks.map(({ code, state }) => [code, state] as const))

/** A probe every ten seconds and a float every quarter of an hour, both in the wort, for so long until now. */
function hear(server: TestServer, minutes: number): void {
  const now_ms = server.clock.now_ms()
  const keep = (instrument: string, quantity: string, value: number, at_ms: number) =>
    server.store.kept.push({ vessel: VESSEL, instrument, quantity, value, at_ms, status: 'good' })
  keep('Probe', 'beer', 18.2, now_ms - 4000)
  for (let ago = 0; ago <= minutes; ago += 15) {
    keep('Float', 'gravity', 1.0503, now_ms - ago * MINUTE_MS)
    keep('Float', 'beer', 18.5, now_ms - ago * MINUTE_MS)
  }
}

test('a vessel that nothing has been heard of is not ready, and each thing that is missing is named', async () => {
  const server = await startTestServer()
  const readiness = await look(server)
  expect(states(readiness)).toEqual({
    'vessel-free': 'ok',
    'beer-probe-heard': 'not yet',
    'instruments-heard': 'not yet',
    'temperatures-agree': 'unknown',
    'float-in-wort': 'unknown',
    'records-kept': 'ok',
  })
  expect(readiness).toMatchObject({ vessel: VESSEL, ready: false, findings: [] })
  expect(readiness.sentence).toContain('Probe has never been heard')
})

test('with the beer that is to go in, the float can be shown to be in the wort', async () => {
  const server = await startTestServer()
  hear(server, 75)
  expect(states(await look(server))).toMatchObject({ 'beer-probe-heard': 'ok', 'float-in-wort': 'unknown' })
  const readiness = await look(server, { beer: BEER })
  expect(states(readiness)).toMatchObject({ 'pitching-temperature': 'ok', 'float-in-wort': 'ok' })
  expect(readiness).toMatchObject({ ready: true, sentence: `${VESSEL} is ready.` })
  expect(readiness.checks.find(({ code }) => code === 'float-in-wort')?.sentence).toBe(
    'Float is in the wort: as warm as Probe, and steady at 1.050.',
  )
})

test('what was heard too long ago counts no more', async () => {
  const server = await startTestServer()
  hear(server, 75)
  server.clock.pass(2 * MINUTE_MS)
  expect(states(await look(server))).toMatchObject({
    'beer-probe-heard': 'ok',
    'instruments-heard': 'not yet',
  })
  server.clock.pass(90 * MINUTE_MS)
  expect(states(await look(server))).toMatchObject({ 'beer-probe-heard': 'not yet' })
})

test('a beer with errors is told, and the vessel is judged all the same', async () => {
  const server = await startTestServer()
  hear(server, 75)
  const readiness = await look(server, { beer: 'beer: Amber', plan: 'plan: x' })
  expect(readiness.findings.map(({ file }) => file)).toContain('beer')
  expect(readiness.findings.map(({ file }) => file)).toContain('plan')
  expect(states(readiness)).toMatchObject({ 'beer-probe-heard': 'ok' })
})

test('a batch in the vessel, its appliances and the disk', async () => {
  let disk: StorageProblem | null = { kind: 'little room', free_MB: 12 }
  const server = await startTestServer({
    parts: {
      appliances: () => [
        { appliance: 'heater', reach: 'does not answer', problem: 'nothing listens' },
        // The bucket has no cooler: nobody is to look for one.
        { appliance: 'cooler', reach: 'does not answer', problem: 'nothing listens' },
      ],
      storageProblem: () => disk,
    },
  })
  hear(server, 75)
  const id = startBatch(server)
  const readiness = await look(server)
  expect(states(readiness)).toMatchObject({
    'vessel-free': 'not yet',
    'appliances-reachable': 'warning',
    'records-kept': 'warning',
  })
  expect(readiness.sentence).toContain(id)
  const reach = readiness.checks.find(({ code }) => code === 'appliances-reachable')
  expect(reach?.sentence).toBe('The heater: nothing listens.')
  disk = null
  server.alarms.report({ code: 'storage-trouble', subject: '' }, 'disk full')
  expect(states(await look(server))['records-kept']).toBe('warning')
})

test('in the units that are wished for', async () => {
  const server = await startTestServer()
  hear(server, 75)
  const answer = await server.app.inject({
    method: 'POST',
    url: `${url}?temperature=F&gravity=P`,
    headers: PROGRAM,
    payload: { beer: BEER },
  })
  const { checks } = answer.json<Readiness>()
  expect(checks.find(({ code }) => code === 'beer-probe-heard')?.sentence).toBe('Probe reads 64.8 °F.')
  expect(checks.find(({ code }) => code === 'float-in-wort')?.sentence).toContain('12.5 °P')
})

test('a vessel that is not there is told', async () => {
  const server = await startTestServer()
  const answer = await server.app.inject('/vessels/Nowhere/readiness')
  expect(answer.statusCode).toBe(404)
  expect(answer.json()).toMatchObject({ code: 'unknown-vessel' })
})
