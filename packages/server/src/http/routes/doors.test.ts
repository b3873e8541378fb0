import { describe, expect, test } from 'vitest'
import { PROGRAM, startTestServer, type TestServer, VESSEL } from '../testing/test-server.ts'

const PASSWORDS = { brewer: 'three hops and a spoon', guest: 'only looking here' }
const NETWORK = { settings: { host: '0.0.0.0', port: 80 }, passwords: PASSWORDS }

async function send(
  { app }: TestServer,
  payload: string,
  headers: Record<string, string> = {},
  query = `?vessel=${encodeURIComponent(VESSEL)}`,
) {
  return (
    await app.inject({
      method: 'POST',
      url: `/readings${query}`,
      headers: { ...PROGRAM, 'content-type': 'application/json', ...headers },
      payload,
    })
  ).statusCode
}

async function heard({ app }: TestServer, query = '', headers: Record<string, string> = {}) {
  return (await app.inject({ url: `/doors/heard${query}`, headers })).json()
}

async function signIn({ app }: TestServer, name: keyof typeof PASSWORDS) {
  const payload = { name, password: PASSWORDS[name] }
  const answer = await app.inject({ method: 'POST', url: '/session', headers: PROGRAM, payload })
  return { cookie: `${answer.cookies[0]?.name}=${answer.cookies[0]?.value}` }
}

describe('what was heard at the door of HTTP', () => {
  test('is told with what was made of it, item by item', async () => {
    const server = await startTestServer()
    const payload = '[{"value":18.2},{"value":"x"},{"value":19.5,"vessel":"Cask"},{"value":18.4,"at_ms":5}]'
    expect(await send(server, payload)).toBe(200)
    expect(await heard(server)).toMatchObject([
      {
        number: 1,
        door: 'http',
        where: '/readings?vessel=Bucket%20with%20a%20heating%20pad',
        by: 'brewer',
        kind: 'application/json',
        text: payload,
        bytes: payload.length,
        readings: [
          { vessel: VESSEL, instrument: 'Probe', quantity: 'beer', value: 18.2 },
          { value: 18.4, at_ms: 5 },
        ],
        readingCount: 2,
        refused: [
          { index: 1, code: 'not-a-number' },
          { index: 2, code: 'unknown-vessel' },
        ],
      },
    ])
    await send(server, '[{"value":18.3}]')
    expect(await heard(server, '?after=1')).toMatchObject([{ number: 2, readings: [{ value: 18.3 }] }])
    expect(await heard(server, '?after=2')).toEqual([])
  })

  test('is told also when nothing of it was taken, whatever was in the way', async () => {
    const server = await startTestServer(NETWORK)
    const brewer = await signIn(server, 'brewer')
    expect(await send(server, '[{"value":18}]')).toBe(401)
    expect(await send(server, '[{"value":18}]', { authorization: 'Bearer at_old' })).toBe(401)
    expect(await send(server, '{"temp":18', brewer)).toBe(422)
    expect(await send(server, '[{"value":18}]', brewer, '?vessel=Cask')).toBe(422)
    expect(await send(server, 'temp=18', { ...brewer, 'content-type': 'text/plain' })).toBe(415)
    const messages = (await heard(server, '', brewer)) as {
      refused: { code: string }[]
      text: string | null
    }[]
    expect(messages.map(({ refused, text }) => [refused.map(({ code }) => code), text])).toEqual([
      [['sign-in'], null],
      [['wrong-token'], null],
      [['wrong-shape'], '{"temp":18'],
      [['unknown-vessel'], '[{"value":18}]'],
      [['wrong-content-type'], null],
    ])
    expect(JSON.stringify(messages)).not.toMatch(/at_old|Bearer|attemper-session/)
  })

  test('is only for those who may change something', async () => {
    const server = await startTestServer(NETWORK)
    const guest = await signIn(server, 'guest')
    expect(await heard(server, '', guest)).toMatchObject({ code: 'not-allowed' })
    expect((await server.app.inject({ url: '/doors/found', headers: guest })).statusCode).toBe(403)
    expect((await server.app.inject({ url: '/doors/heard' })).statusCode).toBe(401)
  })
})

test('a mapping is tried on a message, and nothing is stored', async () => {
  const server = await startTestServer()
  const attempt = async (payload: object) => {
    const url = '/doors/try-mapping'
    const answer = await server.app.inject({ method: 'POST', url, headers: PROGRAM, payload })
    return { status: answer.statusCode, body: answer.json() }
  }
  const mapping = 'instrument: Float\nreadings: [{ at: /sg, quantity: gravity }]'
  expect(await attempt({ mapping, text: '{"sg":"1.012"}', vessel: 'New vessel' })).toEqual({
    status: 200,
    body: {
      findings: [],
      readings: [
        {
          vessel: 'New vessel',
          instrument: 'Float',
          quantity: 'gravity',
          value: 1.012,
          at_ms: server.clock.now_ms(),
        },
      ],
      refused: [],
    },
  })
  expect(await attempt({ mapping: 'readings: 5', text: '{}', vessel: 'New vessel' })).toMatchObject({
    status: 200,
    body: { findings: [{ severity: 'error', line: 1, column: 11 }], readings: [], refused: [] },
  })
  expect(await attempt({ mapping })).toMatchObject({ status: 422, body: { code: 'wrong-shape' } })
  expect([server.store.kept, server.store.changes]).toEqual([[], []])
})

test('probes that the kernel shows are listed as the door settings write them', async () => {
  const { app } = await startTestServer()
  expect((await app.inject('/doors/found')).json()).toEqual([
    { door: 'one-wire', name: '28-000000abcdef', label: null, value: 18.25, unit: '°C', problem: null },
  ])
})

test('where devices send readings without a mapping is said for each channel', async () => {
  const { app } = await startTestServer()
  const url = `/doors/addresses?vessel=${encodeURIComponent(VESSEL)}`
  expect((await app.inject(url)).json()).toMatchObject({
    mqttPort: 1883,
    httpPath: '/readings?vessel=bucket-with-a-heating-pad',
    channels: [
      {
        instrument: 'Probe',
        quantity: 'beer',
        unit: '°C',
        byHand: false,
        topic: 'attemper/bucket-with-a-heating-pad/probe/beer',
        senmlName: 'probe/beer',
      },
      { topic: 'attemper/bucket-with-a-heating-pad/float/gravity', unit: 'SG' },
      { instrument: 'Float', quantity: 'beer' },
      { instrument: 'Hydrometer', byHand: true },
    ],
  })
  expect((await app.inject('/doors/addresses?vessel=Cask')).json()).toMatchObject({ code: 'unknown-vessel' })
})

test('the schema of the doors knows their words', async () => {
  const { app } = await startTestServer()
  const schema = (await app.inject('/doors/schema')).json<{ properties: object }>()
  expect(Object.keys(schema.properties)).toEqual(['heater', 'cooler', 'thermostat', 'mappings', 'listen'])
})
