import { describe, expect, test } from 'vitest'
import { httpServer } from '../http-server.ts'
import { FakeClock } from '../testing/fake-clock.ts'
import { FakeStore } from '../testing/fake-store.ts'
import { PROGRAM, plainDecode, startBatch, startTestServer, VESSEL } from '../testing/test-server.ts'
import { openAccess } from './access.ts'
import { AccessError, requireSafeBinding } from './binding.ts'
import { isLoopback } from './loopback.ts'

const NETWORK = { host: '0.0.0.0', port: 80 }
const PASSWORDS = { brewer: 'three hops and a spoon', guest: 'only looking here' }

async function startInNetwork() {
  return startTestServer({ settings: NETWORK, passwords: PASSWORDS })
}

type Server = Awaited<ReturnType<typeof startInNetwork>>

async function signIn({ app }: Server, name: keyof typeof PASSWORDS): Promise<string> {
  const answer = await app.inject({
    method: 'POST',
    url: '/session',
    headers: PROGRAM,
    payload: { name, password: PASSWORDS[name] },
  })
  expect(answer.statusCode).toBe(200)
  const [cookie] = answer.cookies
  return `${cookie?.name}=${cookie?.value}`
}

describe('binding', () => {
  test.each([
    ['127.0.0.1', true],
    ['127.8.0.3', true],
    ['localhost', true],
    ['::1', true],
    ['[::1]', true],
    ['::ffff:127.0.0.1', true],
    ['0.0.0.0', false],
    ['::', false],
    ['', false],
    ['192.168.1.20', false],
    ['localhost.example', false],
    ['127.0.0.1.example', false],
  ])('%j is loopback: %s', (host, wanted) => {
    expect(isLoopback(host)).toBe(wanted)
  })

  test('a network without a password is refused, and no server is made', async () => {
    const { cellar, store, clock, alarms, notifier } = await startTestServer()
    const access = openAccess(store.asStore(), clock, NETWORK)
    expect(() => requireSafeBinding('0.0.0.0', access)).toThrow(AccessError)
    expect(() => requireSafeBinding('127.0.0.1', access)).not.toThrow()
    const decode = plainDecode
    const parts = { cellar, store: store.asStore(), clock, access, decode, alarms, notifier }
    expect(() => httpServer(parts)).toThrow(/no password is set/)
    await access.people.put('guest', 'viewer', PASSWORDS.guest)
    expect(() => requireSafeBinding('0.0.0.0', access)).toThrow(AccessError)
    await access.people.put('brewer', 'brewer', PASSWORDS.brewer)
    expect(() => requireSafeBinding('0.0.0.0', access)).not.toThrow()
  })
})

describe('on this machine alone', () => {
  test('its own names and addresses are answered, with its port', async () => {
    const { app } = await startTestServer()
    for (const host of ['localhost', 'localhost:80', '127.0.0.1:80', '[::1]:80', 'LOCALHOST']) {
      expect([host, (await app.inject({ url: '/batches', headers: { host } })).statusCode]).toEqual([
        host,
        200,
      ])
    }
  })

  test('any other host is refused: a page whose name was turned to here may be behind it', async () => {
    const { app } = await startTestServer()
    const foreign = [
      'rebound.example',
      'rebound.example:80',
      'localhost:8080',
      '127.0.0.1.example',
      '192.168.1.20',
      'localhost:80@rebound.example',
    ]
    for (const host of foreign) {
      const answer = await app.inject({ url: '/batches', headers: { host } })
      expect([host, answer.statusCode]).toEqual([host, 403])
      expect(answer.json()).toMatchObject({ code: 'foreign-host', cure: 'Ask for http://localhost:80.' })
    }
  })

  test('a page of another site reaches nothing, whatever else it sends', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const pages = [
      { origin: 'http://evil.example' },
      { origin: 'http://localhost:3000' },
      { origin: 'https://localhost' },
      { origin: 'null' },
      { 'sec-fetch-site': 'cross-site' },
      { 'sec-fetch-site': 'same-site' },
    ]
    for (const page of pages) {
      for (const [method, url] of [
        ['GET', `/batches/${id}`],
        ['POST', `/batches/${id}/abort`],
      ] as const) {
        const answer = await server.app.inject({ method, url, headers: { ...page, ...PROGRAM } })
        expect([page, method, answer.statusCode]).toEqual([page, method, 403])
        expect(answer.json()).toMatchObject({ code: 'foreign-origin' })
      }
    }
    expect(server.cellar.view(id).state.batch).toBe('running')
  })

  test('a link from elsewhere may be followed to here', async () => {
    const { app } = await startTestServer()
    const headers = { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate' }
    expect((await app.inject({ url: '/batches', headers })).statusCode).toBe(200)
  })

  test('a change must prove that it comes from the own pages or from a program', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const cases = [
      [{}, 403],
      [PROGRAM, 200],
      [{ origin: 'http://localhost' }, 200],
      [{ 'sec-fetch-site': 'same-origin' }, 200],
      [{ 'sec-fetch-site': 'none' }, 403],
    ] as const
    for (const [headers, status] of cases) {
      const answer = await server.app.inject({ method: 'POST', url: `/batches/${id}/hold`, headers })
      expect([headers, answer.statusCode]).toEqual([headers, status])
      if (status === 403) expect(answer.json()).toMatchObject({ code: 'not-from-here' })
    }
  })
})

/** What a viewer may change, since it is theirs alone; a device may not. */
const THEIR_OWN = /^\/(?:preferences|push\/subscriptions)(?:\/|$)/
/** These change nothing, although they are sent like a change. */
const LOOKS_WITH_BODY = /\/readiness$/

describe('in a network', () => {
  test('nothing but /health and signing in is answered to strangers', async () => {
    const { app } = await startInNetwork()
    for (const url of [
      '/batches',
      '/vessels',
      '/metrics',
      '/openapi.json',
      '/events',
      '/streams',
      '/changes',
    ]) {
      const answer = await app.inject(url)
      expect([url, answer.statusCode]).toEqual([url, 401])
      expect(answer.json()).toMatchObject({ code: 'sign-in' })
    }
    expect((await app.inject('/health')).statusCode).toBe(200)
    const change = await app.inject({ method: 'POST', url: '/batches/b1/hold', headers: PROGRAM })
    expect(change.statusCode).toBe(401)
  })

  test('every route there is asks who it is, and lets no viewer and no device change anything', async () => {
    const server = await startInNetwork()
    const { app, access } = server
    const document = app.swagger() as unknown as { paths: Record<string, Record<string, object>> }
    const cookie = await signIn(server, 'guest')
    const bearers = [
      { kind: 'readings', vessel: VESSEL },
      { kind: 'appliance', vessel: VESSEL },
      { kind: 'view' },
    ] as const
    const tokens = bearers.map(door => `Bearer ${access.tokens.make(door.kind, door)}`)
    for (const [path, operations] of Object.entries(document.paths)) {
      const url = path.replaceAll(/\{\w+\}/g, 'b1')
      for (const method of Object.keys(operations).map(name => name.toUpperCase() as 'GET' | 'POST')) {
        if (url.startsWith('/health') || url === '/session') continue
        const send = async (headers: Record<string, string>) =>
          (await app.inject({ method, url, headers: { ...PROGRAM, ...headers } })).statusCode
        expect([method, url, await send({})]).toEqual([method, url, 401])
        if (method === 'GET') continue
        if (LOOKS_WITH_BODY.test(url)) continue
        const status = await send({ cookie })
        if (THEIR_OWN.test(url))
          expect([method, url, [200, 404, 422].includes(status)]).toEqual([method, url, true])
        else expect([method, url, status]).toEqual([method, url, 403])
        for (const authorization of url === '/readings' ? tokens.slice(1) : tokens) {
          expect([method, url, await send({ authorization })]).toEqual([method, url, 403])
        }
      }
    }
  })

  test('a full disk keeps nobody from signing in', async () => {
    const server = await startInNetwork()
    server.store.full = true
    await signIn(server, 'brewer')
  })

  test('every route that changes something has words for the record', async () => {
    const server = await startTestServer()
    const app = httpServer({ ...server, store: server.store.asStore(), decode: plainDecode })
    const silent: string[] = []
    app.addHook('onRoute', ({ method, url, config }) => {
      if (method !== 'GET' && method !== 'HEAD' && config?.change === undefined)
        silent.push(`${method} ${url}`)
    })
    await app.ready()
    await app.close()
    // Cellar, alarms, messages and their devices keep this record themselves, and so does signing in; readings are records,
    // and how somebody reads them is no change.
    expect(
      silent.filter(
        route => !/ \/(?:vessels|alarms|notify|push|preferences|session|readings\/past)\b/.test(route),
      ),
    ).toEqual(['POST /readings'])
  })

  test('a brewer may change, a viewer may only look; both are recorded by name', async () => {
    const server = await startInNetwork()
    const id = startBatch(server)
    const hold = (cookie: string) =>
      server.app.inject({ method: 'POST', url: `/batches/${id}/hold`, headers: { ...PROGRAM, cookie } })
    const guest = await signIn(server, 'guest')
    expect((await server.app.inject({ url: '/batches', headers: { cookie: guest } })).statusCode).toBe(200)
    const refused = await hold(guest)
    expect(refused.statusCode).toBe(403)
    expect(refused.json()).toMatchObject({ code: 'not-allowed', message: expect.stringContaining('guest') })
    for (const url of ['/people', '/tokens', '/changes']) {
      expect((await server.app.inject({ url, headers: { cookie: guest } })).statusCode).toBe(403)
    }
    const brewer = await signIn(server, 'brewer')
    expect((await hold(brewer)).statusCode).toBe(200)
    expect(server.store.changes).toEqual([
      { at_ms: server.clock.now_ms(), who: 'guest', what: 'signed in from 127.0.0.1' },
      { at_ms: server.clock.now_ms(), who: 'brewer', what: 'signed in from 127.0.0.1' },
      { at_ms: server.clock.now_ms(), who: 'brewer', what: `held the batch ${id}` },
    ])
  })

  test('the cookie is kept from scripts and from other sites', async () => {
    const { app } = await startInNetwork()
    const payload = { password: PASSWORDS.brewer }
    const answer = await app.inject({ method: 'POST', url: '/session', headers: PROGRAM, payload })
    expect(answer.json()).toEqual({ name: 'brewer', role: 'brewer' })
    expect(answer.headers['set-cookie']).toMatch(
      /^attemper-session=[\w.-]+; Max-Age=2592000; Path=\/; HttpOnly; SameSite=Strict$/,
    )
  })

  test('a session ends with its time, with a new password, with removal; a forged one never begins', async () => {
    const server = await startInNetwork()
    const { app, access, clock, store } = server
    const look = (cookie: string) => app.inject({ url: '/batches', headers: { cookie } })
    const guest = await signIn(server, 'guest')
    const [text = '', signature = ''] = guest.split('=')[1]?.split('.') ?? []
    const claims = JSON.parse(Buffer.from(text, 'base64url').toString()) as object
    const forged = Buffer.from(JSON.stringify({ ...claims, n: 'brewer' })).toString('base64url')
    for (const bad of [`${forged}.${signature}`, `${text}.`, text, '.', `${text}.${signature}.x`, 'é']) {
      expect((await look(`attemper-session=${bad}`)).statusCode).toBe(401)
    }
    // The secret is in the store: sessions outlast a restart.
    const again = openAccess(store.asStore(), clock, NETWORK)
    expect(again.sessions.person(`${text}.${signature}`)?.name).toBe('guest')

    await access.people.put('guest', 'viewer', 'another one for looking')
    expect((await look(guest)).statusCode).toBe(401)
    const brewer = await signIn(server, 'brewer')
    await access.people.put('second brewer', 'brewer', 'two is better than one')
    clock.pass(29 * 86_400_000)
    expect((await look(brewer)).statusCode).toBe(200)
    clock.pass(2 * 86_400_000)
    expect((await look(brewer)).statusCode).toBe(401)
    const later = await signIn(server, 'brewer')
    access.people.remove('brewer')
    expect((await look(later)).statusCode).toBe(401)
  })

  // The incident: whoever had a copy of the cookie went on with it after its owner had signed out.
  test('signing out ends the session on the server: every copy of the cookie, and no other session', async () => {
    const server = await startInNetwork()
    const { app, access, clock, store } = server
    const look = async (cookie: string) =>
      (await app.inject({ url: '/batches', headers: { cookie } })).statusCode
    const [one, other] = [await signIn(server, 'brewer'), await signIn(server, 'brewer')]
    expect(one).not.toBe(other)
    const out = await app.inject({ method: 'DELETE', url: '/session', headers: { ...PROGRAM, cookie: one } })
    expect(out.statusCode).toBe(200)
    expect([await look(one), await look(other)]).toEqual([401, 200])
    // Also after a restart; and until it would have lapsed, not longer.
    const again = openAccess(store.asStore(), clock, NETWORK)
    expect(again.sessions.person(one.split('=')[1]!)).toBeNull()
    clock.pass(31 * 86_400_000)
    const later = await signIn(server, 'brewer')
    access.sessions.end(later.split('=')[1]!)
    expect(JSON.parse(store.documents.get('access.ended-sessions')!)).toHaveLength(1)
  })

  test('the last brewer stays', async () => {
    const { access } = await startInNetwork()
    expect(() => access.people.remove('brewer')).toThrow(/Nobody would be left/)
    await expect(access.people.put('brewer', 'viewer', PASSWORDS.brewer)).rejects.toThrow(
      /Nobody would be left/,
    )
  })

  test('five wrong passwords from one address make it wait, also when they come at once', async () => {
    const { app, clock, store } = await startInNetwork()
    const guess = (password: string, remoteAddress = '192.0.2.7') =>
      app.inject({ method: 'POST', url: '/session', headers: PROGRAM, payload: { password }, remoteAddress })
    const answers = await Promise.all(Array.from({ length: 7 }, (_, n) => guess(`guess number ${n}`)))
    expect(answers.map(answer => answer.statusCode).sort()).toEqual([401, 401, 401, 401, 401, 429, 429])
    const right = await guess(PASSWORDS.brewer)
    expect(right.statusCode).toBe(429)
    expect(right.headers['retry-after']).toBe('900')
    expect(right.json()).toMatchObject({ code: 'too-many-attempts', cure: 'Try again in 15 min.' })
    expect((await guess(PASSWORDS.brewer, '192.0.2.8')).statusCode).toBe(200)
    clock.pass(15 * 60_000)
    expect((await guess(PASSWORDS.brewer)).statusCode).toBe(200)
    expect(store.changes.filter(({ what }) => what.startsWith('tried a wrong password')).length).toBe(5)
  })

  test('a password is kept as a hash that is hard to guess, with a salt of its own', async () => {
    const { store, access } = await startInNetwork()
    await access.people.put('twin', 'viewer', PASSWORDS.brewer)
    const kept = store.documents.get('access.people') ?? ''
    expect(kept).not.toContain(PASSWORDS.brewer)
    const hashes = access.people.all().map(({ hash }) => hash)
    expect(new Set(hashes).size).toBe(hashes.length)
    for (const hash of hashes) expect(hash).toMatch(/^scrypt\$15\$8\$1\$[\w-]{22}\$[\w-]{43}$/)
    await expect(access.people.put('lazy', 'viewer', 'short')).rejects.toThrow(/5 characters/)
  })
})

describe('tokens', () => {
  test('a float’s token hands in readings of its vessel, and does nothing else', async () => {
    const server = await startInNetwork()
    const { app, access, store } = server
    const id = startBatch(server)
    const token = access.tokens.make('float', { kind: 'readings', vessel: VESSEL })
    expect(store.documents.get('access.tokens')).not.toContain(token)
    const authorization = `Bearer ${token}`
    const hand = (payload: object) =>
      app.inject({ method: 'POST', url: '/readings', headers: { authorization }, payload })
    expect((await hand([{ value: 18.5 }])).json()).toEqual({ stored: 1, repeated: 0, refused: [] })
    const foreign = await hand([{ value: 18.5, vessel: 'Cask' }])
    expect(foreign.statusCode).toBe(422)
    expect(foreign.json()).toMatchObject({ refused: [{ index: 0, code: 'unknown-vessel' }] })
    const forbidden = [
      ['GET', '/batches'],
      ['GET', `/batches/${id}`],
      ['GET', '/metrics'],
      ['GET', '/events'],
      ['POST', '/batches'],
      ['POST', `/batches/${id}/hold`],
      ['POST', `/batches/${id}/abort`],
      ['POST', `/batches/${id}/gravity`],
      ['POST', '/vessels'],
      ['POST', '/tokens'],
      ['DELETE', '/tokens/float'],
      ['PUT', '/people/brewer'],
    ] as const
    for (const [method, url] of forbidden) {
      const answer = await app.inject({ method, url, headers: { authorization } })
      expect([method, url, answer.statusCode]).toEqual([method, url, 403])
    }
    const other = await app.inject({
      method: 'POST',
      url: '/readings?vessel=Cask',
      headers: { authorization },
      payload: [],
    })
    expect(other.statusCode).toBe(403)
  })

  test('a token does no more on this machine than elsewhere, and a wrong one is refused', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const token = server.access.tokens.make('relay', { kind: 'appliance', vessel: VESSEL })
    const hold = (authorization: string) =>
      server.app.inject({ method: 'POST', url: `/batches/${id}/hold`, headers: { authorization } })
    expect((await hold(`Bearer ${token}`)).statusCode).toBe(403)
    const wrong = await hold(`Bearer ${token}x`)
    expect(wrong.statusCode).toBe(401)
    expect(wrong.json()).toMatchObject({ code: 'wrong-token' })
    expect((await hold('Basic YTpi')).statusCode).toBe(401)
    const reading = await server.app.inject({
      method: 'POST',
      url: '/readings',
      headers: { authorization: `Bearer ${token}` },
      payload: [{ value: 1 }],
    })
    expect(reading.statusCode).toBe(403)
  })

  test('are made, listed and removed by a brewer', async () => {
    const { app, store } = await startTestServer()
    const make = (name: string, door: string) =>
      app.inject({ method: 'POST', url: '/tokens', headers: PROGRAM, payload: { name, door } })
    const made = await make('collector', 'view')
    expect(made.statusCode).toBe(201)
    const { token } = made.json<{ token: string }>()
    const look = () => app.inject({ url: '/metrics', headers: { authorization: `Bearer ${token}` } })
    expect((await look()).statusCode).toBe(200)
    expect((await make('collector', 'view')).statusCode).toBe(409)
    expect((await make('float', 'readings:Cask')).statusCode).toBe(404)
    expect((await make('float', 'heater')).statusCode).toBe(422)
    expect((await app.inject('/tokens')).json()).toMatchObject([{ name: 'collector', door: 'view' }])
    await app.inject({ method: 'DELETE', url: '/tokens/collector', headers: PROGRAM })
    expect((await look()).statusCode).toBe(401)
    expect(store.changes.map(({ what }) => what)).toEqual([
      'made the token collector for view',
      'removed the token collector',
    ])
  })

  test('stand in the address only where a calendar asks', async () => {
    const server = await startInNetwork()
    const id = startBatch(server)
    const token = server.access.tokens.make('calendar', { kind: 'view' })
    expect((await server.app.inject(`/batches/${id}/calendar.ics?token=${token}`)).statusCode).toBe(200)
    expect((await server.app.inject(`/batches/${id}/calendar.ics`)).statusCode).toBe(401)
    expect((await server.app.inject(`/batches?token=${token}`)).statusCode).toBe(401)
  })
})

test('another process may add people: the list is read anew', async () => {
  const clock = new FakeClock()
  const store = new FakeStore()
  const first = openAccess(store.asStore(), clock, NETWORK)
  const second = openAccess(store.asStore(), clock, NETWORK)
  expect(first.people.hasBrewer()).toBe(false)
  await second.people.put('brewer', 'brewer', PASSWORDS.brewer)
  expect(first.people.hasBrewer()).toBe(true)
})
