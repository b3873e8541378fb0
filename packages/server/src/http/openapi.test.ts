import type { TSchema } from 'typebox'
import { Compile } from 'typebox/compile'
import { describe, expect, test } from 'vitest'
import { ERRORS } from './errors.ts'
import { PROGRAM, startBatch, startTestServer, VESSEL } from './testing/test-server.ts'

/** A browser's subscription: the keys are the example of RFC 8291. */
const DEVICE = {
  name: 'Telephone',
  endpoint: 'https://push.example.net/box/1',
  keys: {
    p256dh: 'BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4',
    auth: 'BTBZMqHH6r4Tts7J_aSIgg',
  },
}

interface Operation {
  readonly summary?: string
  readonly description?: string
  readonly tags?: readonly string[]
  readonly requestBody?: { readonly content: Readonly<Record<string, unknown>> }
  readonly parameters?: readonly { readonly in: string; readonly name: string }[]
  readonly responses: Readonly<
    Record<
      string,
      { readonly description: string; readonly content?: Readonly<Record<string, { schema: Loose }>> }
    >
  >
}

const PAST = [{ instrument: 'Hydrometer', quantity: 'gravity', at_ms: -3_000_000_000_000, value: 1.05 }]

interface Loose {
  readonly required?: readonly string[]
  readonly properties?: Readonly<Record<string, { readonly enum?: readonly string[] }>>
}

interface Document {
  readonly openapi: string
  readonly info: { readonly title: string; readonly version: string }
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>
}

async function fetchDocument() {
  const server = await startTestServer()
  const answer = await server.app.inject('/openapi.json')
  return { app: server.app, document: answer.json<Document>() }
}

describe('/openapi.json', () => {
  test('holds every route that answers, and no other', async () => {
    const { app, document } = await fetchDocument()
    const documented = Object.entries(document.paths).flatMap(([path, operations]) =>
      Object.keys(operations).map(
        method => `${method.toUpperCase()} ${path.replaceAll(/\{(\w+)\}/g, ':$1')}`,
      ),
    )
    for (const route of documented) {
      const [method, url] = route.split(' ')
      expect([route, app.hasRoute({ method: method as 'GET', url: url ?? '' })]).toEqual([route, true])
    }
    const served = [...app.printRoutes({ commonPrefix: false }).matchAll(/\(([A-Z, ]+)\)/g)].flatMap(
      ([, methods]) => (methods ?? '').split(', ').filter(method => method !== 'HEAD'),
    )
    // The screens are files, not part of the interface.
    expect(documented.length).toBe(served.length - 1)
    expect(documented.length).toBeGreaterThan(25)
  })

  test('describes each with its refusals, whose codes are those of the catalogue', async () => {
    const { document } = await fetchDocument()
    expect(document.openapi).toBe('3.1.0')
    const told = new Set<string>()
    for (const [path, operations] of Object.entries(document.paths)) {
      for (const [method, operation] of Object.entries(operations)) {
        const where = `${method} ${path}`
        expect([where, operation.summary]).toEqual([where, expect.stringMatching(/.{5,}/)])
        expect([where, operation.description]).toEqual([where, expect.stringMatching(/.{10,}\.$/)])
        expect([where, operation.tags?.length]).toEqual([where, 1])
        for (const name of path.match(/(?<=\{)\w+/g) ?? []) {
          expect(operation.parameters).toContainEqual(
            expect.objectContaining({ in: 'path', name, required: true }),
          )
        }
        expect([where, Object.keys(operation.responses).some(status => status.startsWith('2'))]).toEqual([
          where,
          true,
        ])
        for (const [status, response] of Object.entries(operation.responses)) {
          expect([where, status, response.description]).not.toEqual([where, status, 'Default Response'])
          if (Number(status) < 400) continue
          const schema = response.content?.['application/json']?.schema
          expect([where, status, schema?.required]).toEqual([where, status, ['code', 'message']])
          for (const code of schema?.properties?.code?.enum ?? []) {
            expect([code, ERRORS[code as keyof typeof ERRORS]?.status]).toEqual([code, Number(status)])
            told.add(code)
          }
        }
      }
    }
    // Those that come before any route is found are not of a route.
    const beforeRoutes = ['unknown-address', 'address-too-long', 'header-too-large']
    expect(Object.keys(ERRORS).filter(code => !told.has(code))).toEqual(beforeRoutes)
  })

  test('names all kinds of bodies that readings may have', async () => {
    const { document } = await fetchDocument()
    const kinds = Object.keys(document.paths['/readings']?.post?.requestBody?.content ?? {})
    expect(kinds).toEqual(expect.arrayContaining(['application/senml+json', 'application/senml+cbor']))
  })

  test('is what the answers are like', async () => {
    const expected = [{ from: 'primary', to: null, at_ms: 1_795_600_000_000 }]
    const server = await startTestServer({ parts: { forecast: () => expected } })
    const id = startBatch(server)
    const ask = async (method: 'GET' | 'POST' | 'PUT' | 'DELETE', url: string, payload?: object) => {
      const answer = await server.app.inject({
        method,
        url,
        headers: PROGRAM,
        ...(payload === undefined ? {} : { payload }),
      })
      return [answer.statusCode, answer.json<unknown>()] as const
    }
    await ask('POST', `/batches/${id}/note`, { text: 'Smells of apples.' })
    server.cellar.decide(id, {
      kind: 'in charge',
      at_s: server.clock.now_ms() / 1000 - 60,
      quantity: 'gravity',
      instrument: 'Hydrometer',
      before: null,
    })
    await ask('POST', `/batches/${id}/gravity`, { gravity: '1.040' })
    server.alarms.report({ code: 'storage-trouble', subject: '' }, 'disk full')
    const bell = 'channels: [ { channel: bell, mqtt: { topic: bell } } ]\ntell: [ { who: Kim, by: bell } ]'
    const document = (await ask('GET', '/openapi.json'))[1] as Document
    const series = `vessel=${encodeURIComponent(VESSEL)}&instrument=Hydrometer&quantity=gravity`
    const cases = [
      ['GET', '/health', '/health'],
      ['GET', '/vessels', '/vessels'],
      ['GET', '/vessels/{name}', `/vessels/${encodeURIComponent(VESSEL)}`],
      ['GET', '/vessels/{name}/readiness', `/vessels/${encodeURIComponent(VESSEL)}/readiness`],
      [
        'POST',
        '/vessels/{name}/readiness',
        `/vessels/${encodeURIComponent(VESSEL)}/readiness`,
        { beer: 'beer: Amber' },
      ],
      ['GET', '/batches', '/batches'],
      ['GET', '/batches/{id}', `/batches/${id}`],
      ['GET', '/batches/{id}/log', `/batches/${id}/log`],
      ['POST', '/demo', '/demo'],
      ['GET', '/batches/{id}/expected', `/batches/${id}/expected`],
      ['GET', '/batches/{id}/history', `/batches/${id}/history?quantity=gravity`],
      ['GET', '/batches/{id}/why', `/batches/${id}/why?appliance=heater`],
      ['GET', '/streams', '/streams'],
      ['GET', '/readings', `/readings?${series}`],
      ['GET', '/readings/buckets', `/readings/buckets?${series}`],
      ['PUT', '/retention', '/retention', { fullDetail_d: 730, byTheMinute_d: null }],
      ['PUT', '/retention', '/retention', { fullDetail_d: null, byTheMinute_d: 730 }],
      ['GET', '/retention', '/retention'],
      ['GET', '/session', '/session'],
      ['PUT', '/preferences', '/preferences', { clock: '12 h' }],
      ['GET', '/preferences', '/preferences'],
      ['PUT', '/people/{name}', '/people/Ada', { role: 'brewer', password: 'three hops and a spoon' }],
      ['GET', '/people', '/people'],
      ['POST', '/tokens', '/tokens', { name: 'collector', door: 'view' }],
      ['GET', '/tokens', '/tokens'],
      ['GET', '/changes', '/changes'],
      [
        'POST',
        '/batches/{id}/gravity',
        `/batches/${id}/gravity`,
        { gravity: '1.039', at: '2026-11-24T12:00Z' },
      ],
      ['POST', '/batches/{id}/original-gravity', `/batches/${id}/original-gravity`, { gravity: '1.052' }],
      ['GET', '/alarms', '/alarms'],
      ['POST', '/alarms/{id}/acknowledge', '/alarms/1/acknowledge'],
      ['POST', '/alarms/{id}/acknowledge', '/alarms/2/acknowledge'],
      ['POST', '/alarms/{id}/shelve', '/alarms/1/shelve', { until: '2026-11-25T08:00Z' }],
      ['POST', '/alarms/{id}/acknowledge', '/alarms/1/acknowledge'],
      ['POST', '/alarms/{id}/unshelve', '/alarms/1/unshelve'],
      ['POST', '/alarms/{id}/unshelve', '/alarms/1/unshelve'],
      ['PUT', '/notify/settings', '/notify/settings', { text: 'channels: 1' }],
      ['PUT', '/notify/settings', '/notify/settings', { text: bell }],
      ['GET', '/notify/settings', '/notify/settings'],
      ['GET', '/notify', '/notify'],
      ['POST', '/notify/{channel}/try', '/notify/bell/try'],
      ['POST', '/notify/{channel}/try', '/notify/none/try'],
      ['POST', '/batches/{id}/answer', `/batches/${id}/answer`, { question: 1, answer: 'yes' }],
      ['PUT', '/batches/{id}/plan', `/batches/${id}/plan`, { plan: 'another' }],
      ['POST', '/batches/{id}/go-to', `/batches/${id}/go-to`, { stage: 'nowhere' }],
      ['POST', '/readings', '/readings', [{ value: 'x' }]],
      ['POST', '/readings/past', '/readings/past', { vessel: VESSEL, readings: PAST }],
      ['POST', '/readings/past', '/readings/past', { vessel: VESSEL, readings: PAST, toBatch: true }],
      ['POST', '/batches', '/batches', { vessel: 'Cask', plan: 'p', beer: 'b' }],
      ['POST', '/vessels', '/vessels', { text: 'vessel: Cask' }],
      ['POST', '/batches', '/batches', { vessel: 'Cask', plan: 'wrong', beer: 'b' }],
      ['POST', '/batches', '/batches', { vessel: 'Cask', plan: 'p', beer: 'b' }],
      ['GET', '/doors/heard', '/doors/heard'],
      ['GET', '/doors/found', '/doors/found'],
      ['POST', '/doors/try-mapping', '/doors/try-mapping', { text: '18', vessel: 'Bucket' }],
      ['GET', '/push/key', '/push/key'],
      ['POST', '/push/subscriptions', '/push/subscriptions', DEVICE],
      ['GET', '/push/subscriptions', '/push/subscriptions'],
      ['POST', '/push/subscriptions/{id}/try', '/push/subscriptions/none/try'],
    ] as const
    for (const [method, path, url, payload] of cases) {
      const [status, body] = await ask(method, url, payload)
      const operation = document.paths[path]?.[method.toLowerCase()]
      const schema = operation?.responses[status]?.content?.['application/json']?.schema
      expect([method, path, status, schema === undefined]).toEqual([method, path, status, false])
      expect([method, path, status, Compile(schema as TSchema).Errors(body)]).toEqual([
        method,
        path,
        status,
        [],
      ])
      if (Array.isArray(body)) expect([path, body.length]).not.toEqual([path, 0])
    }
  })
})
