import { connect } from 'node:net'
import fc from 'fast-check'
import type { FastifyInstance, LightMyRequestResponse } from 'fastify'
import { describe, expect, test } from 'vitest'
import { judgeInTurn } from '../../../../test/judge-all.ts'
import { ERRORS } from './errors.ts'
import { DEEPEST, nestsDeeper } from './nesting.ts'
import { PROGRAM, startBatch, startTestServer } from './testing/test-server.ts'

const CHANGES = [
  ['POST', '/vessels'],
  ['DELETE', '/vessels/x'],
  ['POST', '/batches'],
  ['POST', '/batches/b1/answer'],
  ['POST', '/batches/b1/hold'],
  ['POST', '/batches/b1/resume'],
  ['POST', '/batches/b1/go-to'],
  ['PUT', '/batches/b1/plan'],
  ['POST', '/batches/b1/note'],
  ['POST', '/batches/b1/gravity'],
  ['POST', '/alarms/1/acknowledge'],
  ['POST', '/alarms/1/shelve'],
  ['POST', '/alarms/1/unshelve'],
  ['PUT', '/notify/settings'],
  ['POST', '/notify/x/try'],
  ['POST', '/readings'],
  ['POST', '/readings/past'],
  ['POST', '/session'],
  ['PUT', '/people/x'],
  ['PUT', '/preferences'],
  ['POST', '/demo'],
  ['POST', '/doors/try-mapping'],
  ['POST', '/push/subscriptions'],
  ['DELETE', '/push/subscriptions/x'],
  ['POST', '/tokens'],
] as const

const LOOKS = [
  '/batches/b1',
  '/batches/b1/log',
  '/batches/b1/why',
  '/batches/b1/calendar.ics',
  '/readings',
  '/readings/buckets',
  '/streams',
  '/batches/b1/expected',
  '/batches/b1/history',
  '/doors/heard',
  '/changes',
  '/vessels/x',
  '/metrics',
] as const

/** A refusal in the one shape, and nothing of how the cellar is made. */
function expectRefusal(answer: LightMyRequestResponse): void {
  expect(answer.body).not.toMatch(/node:internal|node_modules|\.ts:\d|\bat \w+ \(/)
  expect(answer.statusCode).toBeLessThan(500)
  if (answer.statusCode < 400) return
  const { code, message } = answer.json<{ code: keyof typeof ERRORS; message: string }>()
  expect(ERRORS[code]?.status).toBe(answer.statusCode)
  expect(message).toMatch(/^\S.*[.)]$/su)
}

function change(
  app: FastifyInstance,
  [method, url]: (typeof CHANGES)[number],
  payload: string | Buffer,
  kind: string,
) {
  return app.inject({ method, url, headers: { ...PROGRAM, 'content-type': kind }, payload })
}

const KINDS = fc.constantFrom(
  'application/json',
  'application/senml+json',
  'application/cbor',
  'text/plain',
  '',
  ';',
  'x'.repeat(99),
)

const MEMBERS = [
  'vessel',
  'plan',
  'beer',
  'text',
  'question',
  'answer',
  'stage',
  'gravity',
  'at',
  'name',
  'door',
  'role',
  '__proto__',
  'constructor',
]

const VALUES = fc.oneof(
  fc.jsonValue({ maxDepth: 3 }),
  fc.constantFrom(
    1e308,
    -0,
    'NaN',
    '1e308',
    '',
    'yes',
    'b1',
    '\u0000',
    '\uD800',
    'x'.repeat(5000),
    '../../etc',
    '%00',
  ),
)

const BODIES = fc.oneof(
  fc.uint8Array({ maxLength: 60 }).map(bytes => Buffer.from(bytes)),
  fc
    .dictionary(fc.constantFrom(...MEMBERS), VALUES, { noNullPrototype: true })
    .map(value => Buffer.from(JSON.stringify(value))),
  VALUES.map(value => Buffer.from(JSON.stringify([value, { value }]))),
  fc
    .constantFrom(
      '{"a":NaN}',
      '[1e999]',
      '{"__proto__":{"x":1}}',
      '{"a":1,"a":2}',
      '\uFEFF{}',
      '{',
      '"',
      '[[[[',
      'null',
      '0',
    )
    .map(text => Buffer.from(text)),
)

describe('garbage', () => {
  test('as a body, on every route that takes one, is refused in the one shape', async ({ task }) => {
    const server = await startTestServer()
    startBatch(server)
    await judgeInTurn(
      task,
      { cases: 400 },
      [fc.constantFrom(...CHANGES), BODIES, KINDS],
      async (route, body, kind) => {
        expectRefusal(await change(server.app, route, body, kind))
      },
    )
    expect(({} as Record<string, unknown>).x).toBeUndefined()
  }, 60_000)

  test('in an address or in headers is refused in the one shape', async ({ task }) => {
    const server = await startTestServer()
    startBatch(server)
    const pair = fc.tuple(
      fc.constantFrom(
        'vessel',
        'instrument',
        'quantity',
        'from',
        'to',
        'limit',
        'count',
        'after',
        'appliance',
        'at',
        'token',
        '__proto__',
      ),
      fc.oneof(
        fc.string({ unit: 'binary', maxLength: 20 }),
        fc.constantFrom('1e308', '-1', 'NaN', '2026-02-30T25:61Z', '%', '%zz', '[1]'),
      ),
    )
    await judgeInTurn(
      task,
      { cases: 150 },
      [fc.constantFrom(...LOOKS), fc.array(pair, { maxLength: 6 }), fc.string({ maxLength: 30 })],
      async (path, pairs, odd) => {
        const query = pairs
          .map(([name, value]) => `${name}=${value.startsWith('%') ? value : encode(value)}`)
          .join('&')
        expectRefusal(await server.app.inject(`${path}?${query}`))
        expectRefusal(await server.app.inject(`/batches/${encode(odd)}/log`))
        const headers = { authorization: odd, cookie: `attemper-session=${odd}`, 'last-event-id': odd }
        expectRefusal(await server.app.inject({ url: path, headers: printable(headers) }))
      },
    )
  }, 60_000)

  test('of great size or depth is refused on every route, and says how much would be right', async () => {
    const { app } = await startTestServer()
    const large = Buffer.alloc(1_048_577, 0x20)
    const deep = Buffer.from(`{"a":${'['.repeat(100_000)}${']'.repeat(100_000)}}`)
    for (const route of CHANGES) {
      const tooLarge = await change(app, route, large, 'application/json')
      expect([route, tooLarge.statusCode]).toEqual([route, 413])
      expect(tooLarge.json()).toMatchObject({ code: 'too-large', cure: expect.stringContaining('1,048,576') })
      const tooDeep = await change(app, route, deep, 'application/json')
      expect([route, tooDeep.statusCode, tooDeep.json().code]).toEqual([route, 400, 'too-deep'])
      const other = await change(app, route, 'x', 'text/plain')
      expect([route, other.statusCode]).toEqual([route, 415])
    }
  })

  test.each([
    [
      { question: 'one', answer: 'yes' },
      '/question in the body must be a whole number.',
      'The question’s id, a whole number.',
    ],
    [
      { question: 1, answer: 'no' },
      '/answer in the body must be one of “yes”, “not yet”.',
      '“yes” or “not yet”.',
    ],
    [{ question: 1 }, 'The body lacks “answer”.', '“yes” or “not yet”.'],
    [
      { question: 1, answer: 'yes', by: 'me' },
      'The body holds “by”, which is not known here.',
      'Known are: “question”, “answer”.',
    ],
    [
      { question: 0, answer: 'yes' },
      '/question in the body must be at least 1.',
      'The question’s id, a whole number.',
    ],
    [[], 'The body must be an object.', expect.any(String)],
    ['', 'The body must be an object.', expect.any(String)],
  ])('%j: it says where and what would be right', async (payload, message, cure) => {
    const server = await startTestServer()
    startBatch(server)
    const answer = await change(
      server.app,
      CHANGES[3],
      payload === '' ? '' : JSON.stringify(payload),
      'application/json',
    )
    expect(answer.statusCode).toBe(422)
    expect(answer.json()).toEqual({ code: 'wrong-shape', message, cure })
  })

  test('that is no JSON is told with its place', async () => {
    const { app } = await startTestServer()
    const cases = [
      ['{\n  "question": 1,\n}', 'see line 3, column 1'],
      ['{"question": ', 'it ends too early'],
      [' \n', 'it is empty'],
    ] as const
    for (const [text, where] of cases) {
      const { message } = (await change(app, CHANGES[3], text, 'application/json')).json<{
        message: string
      }>()
      expect(message).toBe(`The body is not JSON: ${where}.`)
    }
    const answer = await change(app, CHANGES[3], '{\n  "question": NaN\n}', 'application/json')
    expect(answer.statusCode).toBe(400)
    expect(answer.json()).toMatchObject({
      code: 'wrong-json',
      message: 'The body is not JSON: a “N” stands where none belongs.',
    })
  })

  test('an address that leads nowhere is told', async () => {
    const { app } = await startTestServer()
    expect((await app.inject('/nowhere')).json()).toEqual({
      code: 'unknown-address',
      message: 'There is nothing for GET /nowhere.',
      cure: 'See /openapi.json.',
    })
    expect((await app.inject({ method: 'PUT', url: '/batches', headers: PROGRAM })).statusCode).toBe(404)
    expect((await app.inject('/batches/%zz')).json()).toMatchObject({ code: 'wrong-request' })
  })
})

test('on the wire: what is no HTTP is refused in the one shape, and a request without a host', async () => {
  const { app } = await startTestServer()
  await app.listen({ host: '127.0.0.1', port: 0 })
  const { port } = app.server.address() as { port: number }
  const send = (text: string) =>
    new Promise<string>((resolve, reject) => {
      const socket = connect(port, '127.0.0.1', () => socket.write(text))
      let answer = ''
      socket.setEncoding('utf8')
      socket.on('data', part => {
        answer += part
      })
      socket.on('end', () => resolve(answer))
      socket.on('error', reject)
    })
  expect(await send('\x16\x03\x01 no HTTP\r\n\r\n')).toMatch(/^HTTP\/1\.1 400 [\s\S]*"code":"wrong-request"/)
  expect(await send(`GET / HTTP/1.1\r\nx: ${'x'.repeat(20_000)}\r\n\r\n`)).toMatch(
    /^HTTP\/1\.1 431 [\s\S]*"header-too-large"/,
  )
  expect(await send('GET /batches HTTP/1.0\r\n\r\n')).toMatch(/^HTTP\/1\.1 403 [\s\S]*"foreign-host"/)
  const own = await send(`GET /batches HTTP/1.1\r\nHost: localhost:${port}\r\nConnection: close\r\n\r\n`)
  expect(own).toMatch(/^HTTP\/1\.1 200 /)
  expect(await send('GET /batches HTTP/1.1\r\nHost: localhost:80\r\nConnection: close\r\n\r\n')).toMatch(
    / 403 /,
  )
})

test('depth is counted outside of texts only', () => {
  const deep = (n: number) => `${'['.repeat(n)}${']'.repeat(n)}`
  const isTooDeep = (text: string) => nestsDeeper(Buffer.from(text))
  expect(isTooDeep(deep(DEEPEST))).toBe(false)
  expect(isTooDeep(deep(DEEPEST + 1))).toBe(true)
  expect(isTooDeep(JSON.stringify({ a: `\\"${deep(50)}`, b: '\\' }))).toBe(false)
  expect(isTooDeep(`["\\\\", ${deep(DEEPEST)}]`)).toBe(true)
  expect(isTooDeep(`[${'[],'.repeat(100)}[]]`)).toBe(false)
})

function encode(text: string): string {
  return encodeURIComponent(text.toWellFormed())
}

function printable(headers: Record<string, string>): Record<string, string> {
  return Object.fromEntries(
    Object.entries(headers).map(([name, value]) => [name, value.replaceAll(/[^ -~]/g, '')]),
  )
}
