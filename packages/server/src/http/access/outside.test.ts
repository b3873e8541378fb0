import { describe, expect, test } from 'vitest'
import { FakeClock } from '../testing/fake-clock.ts'
import { FakeStore } from '../testing/fake-store.ts'
import { PROGRAM, startBatch, startTestServer } from '../testing/test-server.ts'
import { openAccess } from './access.ts'
import { AccessError, requireSafeBinding } from './binding.ts'
import { outsideOf } from './outside.ts'

const ORIGIN = 'https://beer.example.org'
const OUTSIDE = { origin: ORIGIN, isEncrypted: true, proxies: [] }
const PASSWORD = 'three hops and a spoon'

async function startBehindProxy() {
  return startTestServer({
    settings: { host: '127.0.0.1', port: 80, outside: OUTSIDE },
    passwords: { brewer: PASSWORD },
  })
}

/** What a browser outside sends, and the proxy makes of it. */
const through = (address: string, more: Record<string, string> = {}) => ({
  remoteAddress: '127.0.0.1',
  headers: {
    host: 'beer.example.org',
    origin: ORIGIN,
    'sec-fetch-site': 'same-origin',
    'x-forwarded-for': address,
    'x-forwarded-proto': 'https',
    ...more,
  },
})

describe('behind a proxy that encrypts', () => {
  // The incident: the page came by https, the cellar heard http, and each change was refused as foreign.
  test.each(['beer.example.org', '127.0.0.1:80', 'localhost'])(
    'the own page outside may change something, whatever host the proxy asks for: %s',
    async host => {
      const server = await startBehindProxy()
      const id = startBatch(server)
      const signedIn = await server.app.inject({
        ...{ method: 'POST', url: '/session', payload: { password: PASSWORD } },
        ...through('192.0.2.7', { host }),
      })
      expect(signedIn.statusCode).toBe(200)
      expect(signedIn.headers['set-cookie']).toContain('; Secure; SameSite=Strict')
      const [cookie] = signedIn.cookies
      const held = await server.app.inject({
        ...{ method: 'POST', url: `/batches/${id}/hold` },
        ...through('192.0.2.7', { host, cookie: `${cookie?.name}=${cookie?.value}` }),
      })
      expect(held.statusCode).toBe(200)
    },
  )

  test('other origins stay foreign, and nobody is at this machine who comes through the proxy', async () => {
    const server = await startBehindProxy()
    for (const origin of [
      'https://evil.example',
      'http://beer.example.org',
      'https://beer.example.org:8443',
      'null',
    ]) {
      const answer = await server.app.inject({ url: '/batches', ...through('192.0.2.7', { origin }) })
      expect([origin, answer.statusCode]).toEqual([origin, 403])
    }
    expect((await server.app.inject({ url: '/batches', ...through('192.0.2.7') })).statusCode).toBe(401)
    expect((await server.app.inject({ url: '/batches', ...through('127.0.0.1') })).statusCode).toBe(401)
    // Nor is somebody who really is: the proxy may be anybody.
    expect((await server.app.inject('/batches')).statusCode).toBe(401)
  })

  test('each address outside has its own tries, and only the proxy is believed about it', async () => {
    const { app, store } = await startBehindProxy()
    const guess = async (address: string, from = '127.0.0.1') =>
      (
        await app.inject({
          ...{ method: 'POST', url: '/session', payload: { name: `n${address}`, password: 'guess' } },
          ...through(address),
          remoteAddress: from,
        })
      ).statusCode
    const statuses: number[] = []
    for (let n = 0; n < 6; n++) statuses.push(await guess('192.0.2.7'))
    expect(statuses).toEqual([401, 401, 401, 401, 401, 429])
    expect(await guess('192.0.2.8')).toBe(401)
    // What the client itself claims stands before what the proxy adds.
    expect(await guess('198.51.100.1, 192.0.2.7')).toBe(429)
    // Somebody in the house who says so is not the proxy.
    await guess('203.0.113.9', '192.168.1.20')
    expect(store.changes.at(-1)?.what).toContain('from 192.168.1.20')
  }, 30_000)
})

// The incident to come: a proxy is put before a cellar that is open to its own machine, and all the network is let in.
test('an open cellar answers nothing that came through a proxy', async () => {
  const { app } = await startTestServer()
  for (const header of ['forwarded', 'x-forwarded-for', 'x-forwarded-host', 'x-real-ip', 'via']) {
    const answer = await app.inject({ url: '/batches', headers: { ...PROGRAM, [header]: '192.0.2.7' } })
    expect([header, answer.statusCode]).toEqual([header, 403])
    expect(answer.json().cure).toContain('--outside')
  }
})

describe('the outside address', () => {
  test('is kept from one start to the next, until it is forgotten', () => {
    const store = new FakeStore().asStore()
    expect(outsideOf(store, {})).toBeNull()
    const given = outsideOf(store, { address: 'https://Beer.example.org/', proxies: ['192.168.1.2'] })
    expect(given).toEqual({ origin: ORIGIN, isEncrypted: true, proxies: ['192.168.1.2'] })
    expect(outsideOf(store, {})).toEqual(given)
    expect(outsideOf(store, { address: 'none' })).toBeNull()
    expect(outsideOf(store, {})).toBeNull()
  })

  test.each([
    'beer.example.org',
    'https://beer.example.org/attemper',
    'ftp://a',
    'https://a:b@beer.example.org',
    '',
  ])('%j is none', address => {
    expect(() => outsideOf(new FakeStore().asStore(), { address })).toThrow(AccessError)
  })

  test('a proxy is an address in digits, and nothing without the address outside', () => {
    const store = new FakeStore().asStore()
    expect(() => outsideOf(store, { proxies: ['192.168.1.2'] })).toThrow(/but not the address outside/)
    expect(() => outsideOf(store, { address: ORIGIN, proxies: ['proxy.local'] })).toThrow(
      /write it in digits/,
    )
    expect(outsideOf(store, {})).toBeNull()
  })

  test('wants a password, also on loopback', async () => {
    const access = openAccess(new FakeStore().asStore(), new FakeClock(), {
      host: '127.0.0.1',
      port: 80,
      outside: OUTSIDE,
    })
    expect(access.open).toBe(false)
    expect(() => requireSafeBinding('127.0.0.1', access)).toThrow(
      /no password is set\. .* or say --outside none/,
    )
    await access.people.put('brewer', 'brewer', PASSWORD)
    expect(() => requireSafeBinding('127.0.0.1', access)).not.toThrow()
  })
})
