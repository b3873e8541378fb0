import { expect, test } from 'vitest'
import { PROGRAM, startBatch, startTestServer, type TestServer, VESSEL } from '../testing/test-server.ts'

const LONG_AGO_MS = Date.UTC(1864, 0, 5)
const READING = { instrument: 'Hydrometer', quantity: 'gravity', at_ms: LONG_AGO_MS, value: 1.05 }

async function hand(
  { app }: TestServer,
  payload: object,
  headers: Readonly<Record<string, string>> = PROGRAM,
) {
  const answer = await app.inject({ method: 'POST', url: '/readings/past', headers, payload })
  return { status: answer.statusCode, ...answer.json() }
}

test('a part of a log is taken in once, with a word about each that is not', async () => {
  const server = await startTestServer()
  const later = { ...READING, at_ms: server.clock.now_ms() + 3_600_000 }
  const part = { vessel: VESSEL, readings: [later, READING] }
  expect(await hand(server, part)).toMatchObject({
    status: 200,
    stored: 1,
    repeated: 0,
    refused: [{ index: 0, code: 'time-in-future' }],
  })
  expect(await hand(server, part)).toMatchObject({ stored: 0, repeated: 1 })
  expect(server.store.kept).toEqual([{ ...READING, vessel: VESSEL, status: 'good' }])
})

test('what is not a part of a log is refused with its place', async () => {
  const server = await startTestServer()
  const wrong = [
    { readings: [READING] },
    { vessel: VESSEL, readings: [] },
    { vessel: VESSEL, readings: Array.from({ length: 1001 }, () => READING) },
    { vessel: VESSEL, readings: [{ ...READING, value: 'warm' }] },
    { vessel: VESSEL, readings: [{ ...READING, vessel: 'Tun' }] },
  ]
  for (const body of wrong)
    expect(await hand(server, body)).toMatchObject({ status: 422, code: 'wrong-shape' })
  expect(await hand(server, { vessel: 'Tun', readings: [READING] })).toMatchObject({ status: 404 })
})

test('beside a running batch it has to be said that it is meant for it', async () => {
  const server = await startTestServer()
  startBatch(server)
  const own = { ...READING, at_ms: server.clock.now_ms() }
  const part = { vessel: VESSEL, readings: [READING, own] }
  expect(await hand(server, part)).toMatchObject({ status: 409, code: 'vessel-busy' })
  expect(await hand(server, { ...part, toBatch: true })).toMatchObject({ status: 200, stored: 2 })
})

test('a token of the vessel’s instruments does not open it, nor does a viewer', async () => {
  const server = await startTestServer()
  const token = server.access.tokens.make('Float', { kind: 'readings', vessel: VESSEL })
  const part = { vessel: VESSEL, readings: [READING] }
  expect(await hand(server, part, { authorization: `Bearer ${token}` })).toMatchObject({
    status: 403,
    code: 'not-allowed',
  })
  expect(await hand(server, part, {})).toMatchObject({ status: 403, code: 'not-from-here' })
})
