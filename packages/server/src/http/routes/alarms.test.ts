import { expect, test } from 'vitest'
import { PROGRAM, startTestServer, type TestServer } from '../testing/test-server.ts'

const PLACE = { batch: 'b1', vessel: 'Garage', name: 'Amber' }
const BELL = 'channels: [ { channel: bell, mqtt: { topic: bell } } ]\ntell: [ { who: Kim, by: bell } ]\n'

async function post({ app }: TestServer, url: string, payload?: object) {
  const answer = await app.inject({
    method: 'POST',
    url,
    headers: PROGRAM,
    ...(payload === undefined ? {} : { payload }),
  })
  return { status: answer.statusCode, ...answer.json<Record<string, unknown>>() }
}

test('alarms are listed, acknowledged, shelved and taken off the shelf, and the record says by whom', async () => {
  const server = await startTestServer()
  const { app, alarms, hand, store } = server
  expect((await app.inject('/alarms')).json()).toEqual([])
  alarms.updateBatch(PLACE, [{ code: 'limit-broken', subject: 'highest' }])
  hand.pass(61)
  expect((await app.inject('/alarms')).json()).toMatchObject([
    { id: 1, place: PLACE, state: 'active', priority: 'high', seenBy: null },
  ])
  expect(await post(server, '/alarms/1/acknowledge')).toMatchObject({ status: 200, state: 'acknowledged' })
  const until = '2026-11-25T08:00Z'
  expect(await post(server, '/alarms/1/shelve', { until })).toMatchObject({
    state: 'shelved',
    shelvedUntil_s: Date.parse(until) / 1000,
  })
  expect(await post(server, '/alarms/1/acknowledge')).toMatchObject({ status: 409, code: 'alarm-shelved' })
  expect(await post(server, '/alarms/1/unshelve')).toMatchObject({ state: 'active' })
  expect(await post(server, '/alarms/1/unshelve')).toMatchObject({ status: 409, code: 'alarm-not-shelved' })
  expect(store.changes.map(({ what }) => what.split(':')[0])).toEqual([
    'alarm 1 acknowledged',
    'alarm 1 shelved until 2026-11-25T08',
    'alarm 1 taken off the shelf',
  ])
})

test('an alarm that is not there, and a time that can not be, are refused', async () => {
  const server = await startTestServer()
  expect(await post(server, '/alarms/7/acknowledge')).toMatchObject({
    status: 404,
    code: 'unknown-alarm',
    message: 'There is no alarm 7 now; it may be over.',
    cure: 'GET /alarms lists those there are.',
  })
  for (const id of ['0', 'x', '-1']) {
    expect(await post(server, `/alarms/${id}/acknowledge`)).toMatchObject({ status: 422 })
  }
  server.alarms.report({ code: 'storage-trouble', subject: '' }, 'full')
  for (const until of ['2026-11-24T20:00Z', '2027-01-01T00:00Z', 'tomorrow']) {
    expect(await post(server, '/alarms/1/shelve', { until })).toMatchObject({
      status: 422,
      code: 'wrong-value',
    })
  }
})

test('on a full disk an acknowledgement holds, but is said not to be written down', async () => {
  const server = await startTestServer()
  server.alarms.report({ code: 'storage-trouble', subject: '' }, 'full')
  server.store.full = true
  expect(await post(server, '/alarms/1/acknowledge')).toMatchObject({ status: 503, code: 'storage' })
  expect(server.alarms.list()[0]!.state).toBe('acknowledged')
})

test('a viewer sees alarms and channels, but neither passwords nor what only a brewer does', async () => {
  const server = await startTestServer({
    settings: { host: '0.0.0.0', port: 80 },
    passwords: { brewer: 'three hops and a spoon', guest: 'one glass of water' },
  })
  server.notifier.useSettings(BELL, 'test')
  const signedIn = await server.app.inject({
    method: 'POST',
    url: '/session',
    headers: PROGRAM,
    payload: { name: 'guest', password: 'one glass of water' },
  })
  const [cookie] = signedIn.cookies
  const headers = { ...PROGRAM, cookie: `${cookie!.name}=${cookie!.value}` }
  const ask = async (method: 'GET' | 'POST' | 'PUT', url: string) =>
    (await server.app.inject({ method, url, headers })).statusCode
  expect(await ask('GET', '/alarms')).toBe(200)
  expect(await ask('GET', '/notify')).toBe(200)
  expect(await ask('GET', '/notify/settings')).toBe(403)
  expect(await ask('POST', '/alarms/1/acknowledge')).toBe(403)
  expect(await ask('POST', '/notify/bell/try')).toBe(403)
  expect((await server.app.inject('/alarms')).statusCode).toBe(401)
})

test('settings of telling are read, changed and tried; with errors nothing changes', async () => {
  const server = await startTestServer()
  const put = async (text: string) => {
    const answer = await server.app.inject({
      method: 'PUT',
      url: '/notify/settings',
      headers: PROGRAM,
      payload: { text },
    })
    return { status: answer.statusCode, ...answer.json<Record<string, unknown>>() }
  }
  expect(await put(BELL)).toEqual({ status: 200, findings: [] })
  expect(await put(BELL.replace('by: bell', 'by: bel'))).toMatchObject({
    status: 422,
    code: 'has-errors',
    findings: [{ code: 'not-a-choice', line: 2, cure: 'There are: bell.' }],
  })
  expect((await server.app.inject('/notify/settings')).json()).toEqual({ text: BELL })
  expect((await server.app.inject('/notify')).json()).toEqual([
    {
      name: 'bell',
      kind: 'mqtt',
      where: 'topic bell',
      told: ['Kim'],
      waiting: 0,
      problem: null,
      took_ms: null,
      failed_ms: null,
    },
  ])
  expect(await post(server, '/notify/bell/try')).toEqual({
    status: 200,
    ok: true,
    sentence: '“bell” works: topic bell took a test message.',
  })
  expect(await post(server, '/notify/bel/try')).toMatchObject({ status: 404, cure: 'There are: bell.' })
  expect(server.store.changes.map(({ what }) => what)).toEqual([
    'changed who is told of alarms, and how',
    'tried the channel bell',
  ])
})
