import type { TSchema } from 'typebox'
import { Compile } from 'typebox/compile'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openAlarms } from '../alarms/alarm-keeper.ts'
import { HandClock } from '../alarms/testing/hand-clock.ts'
import { decode } from '../doors/decode/decode.ts'
import { nameBook } from '../doors/name-book.ts'
import { MemoryStore } from '../live/testing/memory-store.ts'
import { AMBER_ALE, AMBER_BEER, example, SmallCellar } from '../live/testing/small-cellar.ts'
import { openNotifier } from '../notify/notifier.ts'
import { openAccess } from './access/access.ts'
import { httpServer } from './http-server.ts'
import { PROGRAM } from './testing/test-server.ts'

/** The interface over a live cellar with the examples, as a brewer and a float use it. */
const real = new SmallCellar(new MemoryStore())
const hand = new HandClock(real.time.now_ms())
const told = { store: real.store, clock: hand, timers: hand }
const notifier = openNotifier({ ...told, localOffset_s: () => 0 })
const names = nameBook(() => real.cellar.vessels())
const app = httpServer({
  alarms: openAlarms({ ...told, notify: changes => notifier.notify(changes) }),
  notifier,
  cellar: real.cellar,
  store: real.store,
  clock: real.time,
  access: openAccess(real.store, real.time, { host: '127.0.0.1', port: 80 }),
  decode: (kind, body, context) => decode(kind, body, { ...context, names }),
})

async function ask(method: 'GET' | 'POST' | 'PUT' | 'DELETE', url: string, payload?: object) {
  const answer = await app.inject({
    method,
    url,
    headers: PROGRAM,
    ...(payload === undefined ? {} : { payload }),
  })
  return { status: answer.statusCode, body: answer.json() }
}

const VESSEL = 'Bucket with a heating pad'
let batch = ''

beforeAll(async () => {
  const text = example('bucket-with-pad.vessel.yaml')
  expect(await ask('POST', '/vessels', { text })).toMatchObject({ status: 201, body: { name: VESSEL } })
  const request = { vessel: VESSEL, plan: AMBER_ALE, beer: AMBER_BEER, overrule: 'A test.' }
  const started = await ask('POST', '/batches', request)
  expect(started.status).toBe(201)
  batch = started.body.batch
})

afterAll(async () => {
  await app.close()
  await real.cellar.close()
})

test('errors come with the findings of the proof-reader, and with their places', async () => {
  const wrong = { vessel: VESSEL, plan: 'plan: x\nstages: []', beer: AMBER_BEER }
  expect(await ask('POST', '/batches', wrong)).toMatchObject({ body: { code: expect.any(String) } })
  expect(await ask('POST', '/vessels', { text: 'vessel: Cask\nroom: 3' })).toMatchObject({
    status: 422,
    body: { code: 'has-errors', findings: expect.arrayContaining([expect.objectContaining({ line: 2 })]) },
  })
})

test('readings in SenML reach the batch; a gravity read by hand too', async () => {
  real.time.moveTo(real.time.now_ms() + 2000)
  // A first reading is believed when a second one supports it: the one of a second ago.
  const pack = [
    { bn: 'Bucket-with-a-heating-pad/Probe/', n: 'beer', u: 'Cel', v: 18.5, t: -1 },
    { n: 'beer', u: 'Cel', v: 18.5 },
    { n: 'pressure', u: 'Pa', v: 101_325 },
  ]
  const handed = await app.inject({
    method: 'POST',
    url: '/readings',
    headers: { 'content-type': 'application/senml+json' },
    payload: pack,
  })
  expect(handed.json()).toMatchObject({ stored: 2, refused: [{ index: 2, code: 'unknown-quantity' }] })
  const entered = await ask('POST', `/batches/${batch}/gravity`, { gravity: '12 °P' })
  expect(entered).toMatchObject({ status: 201, body: { instrument: 'Hydrometer' } })
  const series = new URLSearchParams({ vessel: VESSEL, instrument: 'Probe', quantity: 'beer' })
  expect((await ask('GET', `/readings?${series}`)).body).toMatchObject([
    { value: 18.5, status: 'good' },
    { value: 18.5, status: 'good' },
  ])
  expect((await ask('GET', `/batches/${batch}`)).body).toMatchObject({ beer_C: 18.5 })
})

test('what a live cellar answers is what the description says', async () => {
  await ask('POST', `/batches/${batch}/hold`)
  await ask('POST', `/batches/${batch}/resume`)
  await ask('POST', `/batches/${batch}/note`, { text: 'Smells of apples.' })
  const { body: document } = await ask('GET', '/openapi.json')
  const urls = {
    '/vessels': '/vessels',
    '/batches': '/batches',
    '/batches/{id}': `/batches/${batch}`,
    '/batches/{id}/log': `/batches/${batch}/log`,
    '/batches/{id}/why': `/batches/${batch}/why?appliance=heater`,
    '/streams': '/streams',
    '/changes': '/changes',
  }
  for (const [path, url] of Object.entries(urls)) {
    const { status, body } = await ask('GET', url)
    expect([path, status]).toEqual([path, 200])
    const schema = document.paths[path].get.responses[200].content['application/json'].schema as TSchema
    expect([path, Compile(schema).Errors(body)]).toEqual([path, []])
  }
  const log = (await ask('GET', `/batches/${batch}/log`)).body as { kind: string; by?: string }[]
  expect(log.filter(({ kind }) => kind === 'edit' || kind === 'note')).toMatchObject([
    { edit: { kind: 'start' } },
    { edit: { kind: 'hold' }, by: 'brewer' },
    { edit: { kind: 'resume' } },
    { text: 'Smells of apples.' },
  ])
})

test('what can not be done is refused with what would be right', async () => {
  expect(await ask('POST', `/batches/${batch}/go-to`, { stage: 'Nowhere' })).toMatchObject({
    status: 404,
    body: { code: 'unknown-stage', message: expect.stringContaining('there are') },
  })
  expect(await ask('POST', `/batches/${batch}/answer`, { question: 99, answer: 'yes' })).toMatchObject({
    status: 404,
    body: { code: 'unknown-question' },
  })
  expect(await ask('DELETE', `/vessels/${encodeURIComponent(VESSEL)}`)).toMatchObject({
    status: 409,
    body: { code: 'vessel-busy' },
  })
  expect((await ask('POST', `/batches/${batch}/stop`)).status).toBe(200)
  expect(await ask('POST', `/batches/${batch}/hold`)).toMatchObject({
    status: 409,
    body: { code: 'not-running' },
  })
})
