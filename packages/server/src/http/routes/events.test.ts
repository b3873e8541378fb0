import { type IncomingMessage, request } from 'node:http'
import { describe, expect, test } from 'vitest'
import { startBatch, startTestServer, type TestServer } from '../testing/test-server.ts'

interface Heard {
  readonly event: string
  readonly id: string
  readonly data: { readonly batch?: string; readonly view?: { readonly stage: string } | null }
}

/** Listens over a real socket; `next` gives the next block of the stream as it is, comments included. */
async function listen({ app, access }: TestServer, path = '/events', headers: Record<string, string> = {}) {
  if (!app.server.listening) await app.listen({ host: access.settings.host, port: 0 })
  const { port } = app.server.address() as { port: number }
  const response = await new Promise<IncomingMessage>((resolve, reject) => {
    request({ host: '127.0.0.1', port, path, headers }, resolve).on('error', reject).end()
  })
  response.setEncoding('utf8')
  const parts = response[Symbol.asyncIterator]() as AsyncIterator<string>
  let text = ''
  const block = async (): Promise<string | null> => {
    while (!text.includes('\n\n')) {
      const part = await parts.next()
      if (part.done === true) return null
      text += part.value
    }
    const end = text.indexOf('\n\n')
    const found = text.slice(0, end)
    text = text.slice(end + 2)
    return found
  }
  const next = async (): Promise<Heard> => {
    for (;;) {
      const found = await block()
      if (found === null) throw new Error('The stream has ended.')
      const fields = Object.fromEntries(found.split('\n').map(line => line.split(/: (.*)/s).slice(0, 2)))
      if ('event' in fields) return { event: fields.event, id: fields.id, data: JSON.parse(fields.data) }
    }
  }
  return { response, block, next, leave: () => response.destroy() }
}

describe('/events', () => {
  test('tells of each change with the view, once for changes that come together', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const ear = await listen(server)
    expect(ear.response.headers).toMatchObject({
      'content-type': 'text/event-stream; charset=utf-8',
      'cache-control': 'no-store',
    })
    expect(await ear.block()).toBe('retry: 2000')
    expect(await ear.next()).toMatchObject({ event: 'hello', data: {} })
    server.cellar.hold(id, 'test')
    server.cellar.goTo(id, 'crash', 'test')
    const heard = await ear.next()
    expect(heard).toMatchObject({ event: 'batch', data: { batch: id, view: { stage: 'crash' } } })
    server.cellar.note(id, 'And on.', 'test')
    const then = await ear.next()
    expect(Number(then.id.split('-')[1])).toBe(Number(heard.id.split('-')[1]) + 1)
    ear.leave()
  })

  test('tells of alarms, of one batch to whoever listens to that', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const all = await listen(server)
    const one = await listen(server, `/events?batch=${id}`)
    await all.next()
    await one.next()
    server.alarms.report({ code: 'storage-trouble', subject: '' }, 'full')
    server.hand.pass(1)
    const place = { batch: id, vessel: 'Garage', name: 'Amber' }
    server.alarms.updateBatch(place, [{ code: 'batch-held', subject: '' }])
    server.hand.pass(1)
    server.alarms.acknowledge(2, 'Kim')
    const raised = { change: 'raised', alarm: { id: 1, code: 'storage-trouble' }, by: null }
    expect(await all.next()).toMatchObject({ event: 'alarm', id: undefined, data: raised })
    const held = { change: 'raised', alarm: { id: 2, place } }
    for (const ear of [all, one]) {
      expect(await ear.next()).toMatchObject({ event: 'alarm', data: held })
      expect((await ear.next()).data).toMatchObject({ change: 'acknowledged', by: 'Kim' })
      ear.leave()
    }
  })

  test('goes on after the last event that was heard, each batch once', async () => {
    const server = await startTestServer()
    const first = startBatch(server)
    server.cellar.putVessel('vessel: Cask', '', 'test')
    const second =
      server.cellar.startBatch({ vessel: 'Cask', planText: 'p', beerText: 'b' }, 'test').batch ?? ''
    const ear = await listen(server)
    await ear.next()
    server.cellar.note(first, 'heard', 'test')
    const { id } = await ear.next()
    ear.leave()
    const pause = () => new Promise(resolve => setImmediate(resolve))
    server.cellar.goTo(second, 'crash', 'test')
    await pause()
    server.cellar.note(first, 'missed', 'test')
    await pause()
    server.cellar.note(second, 'missed', 'test')
    await pause()
    const again = await listen(server, '/events', { 'last-event-id': id })
    expect((await again.next()).data.batch).toBe(first)
    expect(await again.next()).toMatchObject({
      event: 'batch',
      data: { batch: second, view: { stage: 'crash' } },
    })
    server.cellar.note(first, 'live again', 'test')
    expect((await again.next()).data.batch).toBe(first)
    again.leave()
  })

  test('says so when it can not know what was missed', async () => {
    const server = await startTestServer()
    for (const id of ['long-ago', '0123456789ab-7', 'x']) {
      const ear = await listen(server, '/events', { 'last-event-id': id })
      expect((await ear.next()).event).toBe('resync')
      ear.leave()
    }
  })

  test('of one batch only; of an unknown one not at all', async () => {
    const server = await startTestServer()
    const first = startBatch(server)
    server.cellar.putVessel('vessel: Cask', '', 'test')
    const second =
      server.cellar.startBatch({ vessel: 'Cask', planText: 'p', beerText: 'b' }, 'test').batch ?? ''
    const ear = await listen(server, `/events?batch=${second}`)
    await ear.next()
    server.cellar.note(first, 'not for here', 'test')
    server.cellar.note(second, 'for here', 'test')
    expect((await ear.next()).data.batch).toBe(second)
    ear.leave()
    const unknown = await listen(server, '/events?batch=b9')
    expect(unknown.response.statusCode).toBe(404)
    unknown.leave()
  })

  test('shows signs of life, and ends for whoever has been signed out', async () => {
    const server = await startTestServer({
      settings: { host: '0.0.0.0', port: 80 },
      passwords: { brewer: 'three hops and a spoon' },
      parts: { heartbeat_ms: 5 },
    })
    const token = server.access.tokens.make('screen', { kind: 'view' })
    const ear = await listen(server, '/events', { authorization: `Bearer ${token}` })
    await ear.next()
    expect(await ear.next()).toEqual({
      event: 'beat',
      id: undefined,
      data: { now_ms: server.clock.now_ms() },
    })
    server.access.tokens.remove('screen')
    while ((await ear.block()) !== null);
    expect(ear.response.complete).toBe(true)
  })

  // The incident: a token that had been removed went on hearing of each change until the next sign of life.
  test('ends at once for a token, a person or a session that is no more; others go on', async () => {
    const server = await startTestServer({
      settings: { host: '0.0.0.0', port: 80 },
      passwords: { brewer: 'three hops and a spoon', guest: 'only looking here' },
      parts: { heartbeat_ms: 3_600_000 },
    })
    const { access } = server
    const cookie = (name: string) => access.sessions.begin(access.people.find(name)!)
    const listenAs = (headers: Record<string, string>) => listen(server, '/events', headers)
    const session = cookie('brewer')
    const token = await listenAs({
      authorization: `Bearer ${access.tokens.make('screen', { kind: 'view' })}`,
    })
    const guest = await listenAs({ cookie: `attemper-session=${cookie('guest')}` })
    const brewer = await listenAs({ cookie: `attemper-session=${session}` })
    const other = await listenAs({ cookie: `attemper-session=${cookie('brewer')}` })
    const endOf = async (ear: typeof token) => {
      while ((await ear.block()) !== null);
      return ear.response.complete
    }
    access.tokens.remove('screen')
    expect(await endOf(token)).toBe(true)
    access.people.remove('guest')
    expect(await endOf(guest)).toBe(true)
    access.sessions.end(session)
    expect(await endOf(brewer)).toBe(true)
    const id = startBatch(server)
    server.cellar.note(id, 'for whoever is left', 'test')
    expect(await other.next()).toMatchObject({ event: 'hello' })
    expect((await other.next()).data.batch).toBe(id)
    other.leave()
  })

  // The incident: one page held all streams, and nobody else heard of anything.
  test('one listener can not take the streams of the others', async () => {
    const server = await startTestServer({
      settings: { host: '0.0.0.0', port: 80 },
      passwords: { brewer: 'three hops and a spoon' },
    })
    const bearer = (name: string) => ({
      authorization: `Bearer ${server.access.tokens.make(name, { kind: 'view' })}`,
    })
    const greedy = bearer('greedy')
    const first = await listen(server, '/events', greedy)
    const more = Array.from({ length: 29 }, () => listen(server, '/events', greedy))
    const ears = [first, ...(await Promise.all(more))]
    const statuses = ears.map(({ response }) => response.statusCode)
    expect(statuses.filter(status => status === 200)).toHaveLength(25)
    expect(statuses.filter(status => status === 503)).toHaveLength(5)
    const other = await listen(server, '/events', bearer('other'))
    expect(other.response.statusCode).toBe(200)
    // One of its own that is closed makes room.
    ears.find(({ response }) => response.statusCode === 200)?.leave()
    let again = await listen(server, '/events', greedy)
    for (let tries = 0; tries < 20 && again.response.statusCode !== 200; tries++) {
      again = await listen(server, '/events', greedy)
    }
    expect(again.response.statusCode).toBe(200)
    for (const ear of [...ears, other, again]) ear.leave()
  })

  test('ends when the cellar closes, and leaves no listener behind', async () => {
    const server = await startTestServer()
    const ear = await listen(server)
    await ear.next()
    expect(server.cellar.listeners).toBe(1)
    await server.app.close()
    expect(await ear.block()).toBe(null)
    expect(server.cellar.listeners).toBe(0)
  })
})
