import { describe, expect, test } from 'vitest'
import type { Report } from '../../doors/report.ts'
import { startBatch, startTestServer, type TestServer, VESSEL } from '../testing/test-server.ts'

function hand({ app }: TestServer, payload: object | string, headers: Record<string, string> = {}) {
  return app.inject({
    method: 'POST',
    url: `/readings?vessel=${encodeURIComponent(VESSEL)}`,
    headers: { 'content-type': 'application/json', ...headers },
    payload,
  })
}

describe('handing in', () => {
  test('says what was stored, what was there already, and what was refused with its place', async () => {
    const server = await startTestServer()
    const at_ms = server.clock.now_ms()
    const first = await hand(server, [{ value: 18.5, at_ms }])
    expect(first.json()).toEqual({ stored: 1, repeated: 0, refused: [] })
    const mixed = await hand(server, [
      { value: 'warm' },
      { value: 18.5, at_ms },
      { value: 1e308 },
      { value: 19, at_ms: at_ms + 3_600_000 },
      { value: 18.4, at_ms: at_ms - 10_000 },
    ])
    expect(mixed.statusCode).toBe(200)
    expect(mixed.json()).toMatchObject({
      stored: 1,
      repeated: 1,
      refused: [
        { index: 0, code: 'not-a-number' },
        { index: 2, code: 'out-of-range' },
        { index: 3, code: 'time-in-future' },
      ],
    })
  })

  test('is refused as a whole when nothing of it can be taken', async () => {
    const server = await startTestServer()
    const answer = await hand(server, [{ value: 1e308 }, { value: null }])
    expect(answer.statusCode).toBe(422)
    expect(answer.json()).toMatchObject({
      code: 'readings-refused',
      message: 'No beer is like that. (And 1 more.)',
      refused: [{ index: 0 }, { index: 1 }],
    })
  })

  test('the decoder gets the bare kind, the bytes and what the address says', async () => {
    const seen: unknown[] = []
    const server = await startTestServer({
      parts: {
        decode: (kind, body, context) => {
          seen.push([kind, [...body], context])
          return { reports: [], refused: [] }
        },
      },
    })
    await server.app.inject({
      method: 'POST',
      url: '/readings?mapping=float',
      headers: { 'content-type': 'Application/SenML+CBOR; x=y' },
      payload: Buffer.from([0x81, 0xa0, 0xff]),
    })
    const context = { mapping: 'float', now_ms: server.clock.now_ms() }
    expect(seen).toEqual([['application/senml+cbor', [0x81, 0xa0, 0xff], context]])
  })

  test('a device needs no header of ours, but a form of a web page is not read', async () => {
    const server = await startTestServer()
    expect((await hand(server, [{ value: 18 }])).statusCode).toBe(200)
    for (const kind of [
      'text/plain',
      'application/x-www-form-urlencoded',
      'multipart/form-data; boundary=x',
    ]) {
      const answer = await hand(server, '[{"value":18}]', { 'content-type': kind })
      expect([kind, answer.statusCode]).toEqual([kind, 415])
      expect(answer.json().cure).toContain('application/json')
    }
    const untyped = await server.app.inject({ method: 'POST', url: '/readings', payload: Buffer.from('[]') })
    expect(untyped.statusCode).toBe(403)
  })

  test('bad bodies are refused before anything is made of them', async () => {
    const server = await startTestServer()
    const cases = [
      [Buffer.from([0x5b, 0xff, 0x5d]), 400, 'wrong-utf8'],
      [Buffer.from(`${'['.repeat(100)}${']'.repeat(100)}`), 400, 'too-deep'],
      [Buffer.from(`["${'x'.repeat(1_048_576)}"]`), 413, 'too-large'],
      [Buffer.from('[{"value": NaN}]'), 422, 'readings-refused'],
      [Buffer.from(''), 422, 'readings-refused'],
    ] as const
    for (const [body, status, code] of cases) {
      const answer = await server.app.inject({
        method: 'POST',
        url: '/readings',
        headers: { 'content-type': 'application/json' },
        payload: body,
      })
      expect([code, answer.statusCode, answer.json().code]).toEqual([code, status, code])
    }
  })
})

describe('looking', () => {
  async function withReadings() {
    const server = await startTestServer()
    const now_ms = server.clock.now_ms()
    for (let n = 0; n < 48; n += 1) {
      server.store.kept.push({ ...STREAM, at_ms: now_ms - n * 3_600_000, value: 18 + n / 10, status: 'good' })
    }
    return server
  }
  const STREAM = { vessel: VESSEL, instrument: 'Probe', quantity: 'beer' } satisfies Partial<Report>
  const NAMES = new URLSearchParams(STREAM).toString()

  test('the last day, reading by reading, this very moment included', async () => {
    const server = await withReadings()
    const answer = await server.app.inject(`/readings?${NAMES}`)
    const readings = answer.json<{ at_ms: number; value: number }[]>()
    expect(readings.length).toBe(24)
    expect(readings.at(-1)).toEqual({ at_ms: server.clock.now_ms(), value: 18, status: 'good' })
    const few = await server.app.inject(`/readings?${NAMES}&from=2026-11-24T00:00:00Z&limit=2`)
    expect(few.json()).toMatchObject([{ at_ms: Date.UTC(2026, 10, 24, 0, 15) }, {}])
  })

  test('parts for a chart', async () => {
    const server = await withReadings()
    const { app, clock } = server
    const answer = await app.inject(
      `/readings/buckets?${NAMES}&from=${clock.now_ms() - 7_200_000}&to=${clock.now_ms()}&count=1`,
    )
    const [bucket] = answer.json<{ from_ms: number; min: number }[]>()
    expect(bucket).toEqual({
      from_ms: clock.now_ms() - 7_200_000,
      count: 2,
      min: 18.1,
      max: 18.2,
      mean: expect.closeTo(18.15),
    })
    expect((await app.inject('/streams')).json()).toEqual([STREAM])
    expect((await app.inject('/streams?vessel=Cask')).json()).toEqual([])
  })

  test.each([
    ['from=2026-11-24T12:00Z&to=2026-11-24T11:00Z', 'wrong-value', '/from is not before /to.'],
    ['from=noon', 'wrong-value', '/from is not a moment: “noon”.'],
    ['from=99999999999999', 'wrong-value', '/from is not a moment'],
    ['limit=0', 'wrong-shape', '/limit in the query must be at least 1.'],
    ['limit=x', 'wrong-shape', '/limit in the query must be a whole number.'],
  ])('%s is refused, and it says why', async (query, code, message) => {
    const server = await startTestServer()
    const answer = await server.app.inject(`/readings?${NAMES}&${query}`)
    expect(answer.statusCode).toBe(422)
    expect(answer.json()).toMatchObject({
      code,
      message: expect.stringContaining(message),
      cure: expect.any(String),
    })
  })
})

describe('gravity by hand', () => {
  const enter = (server: TestServer, id: string, payload: object) =>
    server.app.inject({
      method: 'POST',
      url: `/batches/${id}/gravity`,
      headers: { 'x-attemper': '1' },
      payload,
    })

  test('becomes a reading of the instrument that is read by hand', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const answer = await enter(server, id, { gravity: '1.012' })
    expect(answer.statusCode).toBe(201)
    expect(answer.json()).toEqual({ instrument: 'Hydrometer', gravity: 1.012, at_ms: server.clock.now_ms() })
    const plato = await enter(server, id, { gravity: '3.1 °P', at: '2026-11-24T08:00:00+01:00' })
    // ASBC: 3.1 °P is 1.0122 (extract-gravity.csv gives 1.01174 at 3 °P and 1.01568 at 4 °P).
    expect(plato.json()).toMatchObject({
      gravity: expect.closeTo(1.0121, 3),
      at_ms: Date.UTC(2026, 10, 24, 7),
    })
    expect(server.store.kept).toMatchObject([
      { vessel: VESSEL, instrument: 'Hydrometer', quantity: 'gravity', value: 1.012, status: 'good' },
      { instrument: 'Hydrometer', at_ms: Date.UTC(2026, 10, 24, 7) },
    ])
    expect(server.cellar.log(id, 1, 10)).toMatchObject([
      { kind: 'read by hand', instrument: 'Hydrometer', gravity: 1.012, by: 'brewer' },
      { kind: 'read by hand', read_ms: Date.UTC(2026, 10, 24, 7) },
    ])
  })

  test.each([
    [{ gravity: '1,012' }, 'wrong-value'],
    [{ gravity: '1e308' }, 'wrong-value'],
    [{ gravity: 'NaN' }, 'wrong-value'],
    [{ gravity: '18 °C' }, 'wrong-value'],
    [{ gravity: 1.012 }, 'wrong-shape'],
    [{ gravity: '1.012', at: '2027-01-01T00:00Z' }, 'wrong-value'],
  ])('%j is refused with %s and a cure', async (payload, code) => {
    const server = await startTestServer()
    const answer = await enter(server, startBatch(server), payload)
    expect(answer.statusCode).toBe(422)
    expect(answer.json()).toMatchObject({ code, message: expect.any(String) })
    expect(server.store.kept).toEqual([])
  })

  test('without such an instrument it is refused, with what to write into the vessel’s file', async () => {
    const server = await startTestServer()
    server.cellar.putVessel('vessel: Cask', '', 'test')
    const { batch } = server.cellar.startBatch({ vessel: 'Cask', planText: 'p', beerText: 'b' }, 'test')
    const answer = await enter(server, batch ?? '', { gravity: '1.012' })
    expect(answer.statusCode).toBe(409)
    expect(answer.json()).toMatchObject({
      code: 'no-hand-instrument',
      cure: expect.stringContaining('by hand: true'),
    })
  })

  test('after the end of a batch it may belong to the next one', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    server.cellar.stop(id, 'test')
    server.clock.pass(60_000)
    expect((await enter(server, id, { gravity: '1.012' })).statusCode).toBe(409)
    expect((await enter(server, id, { gravity: '1.012', at: '2026-11-24T20:14:00Z' })).statusCode).toBe(201)
  })
})

describe('the original gravity by hand', () => {
  const enter = (server: TestServer, id: string, payload: object) =>
    server.app.inject({
      method: 'POST',
      url: `/batches/${id}/original-gravity`,
      headers: { 'x-attemper': '1' },
      payload,
    })

  test('is handed to the batch, and no reading is stored', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const answer = await enter(server, id, { gravity: '12.9 °P' })
    expect(answer.statusCode).toBe(200)
    // NBS Circular 440: 12.9 °P lies between 1.0526 and 1.0522.
    expect(answer.json().gravity).toBeCloseTo(1.0522, 3)
    expect(server.cellar.log(id, 0, 10).at(-1)).toMatchObject({ edit: { kind: 'original gravity' } })
    expect(server.store.kept).toEqual([])
  })

  test.each([
    [{ gravity: 'heavy' }, 422],
    [{ gravity: '0.99' }, 422],
    [{}, 422],
  ])('%j is refused with %i', async (payload, status) => {
    const server = await startTestServer()
    expect((await enter(server, startBatch(server), payload)).statusCode).toBe(status)
  })
})
