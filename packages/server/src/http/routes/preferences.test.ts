import { expect, test } from 'vitest'
import { PROGRAM, startTestServer, type TestServer } from '../testing/test-server.ts'

const USUAL = { temperature: 'C', gravity: 'SG', volume: 'L', clock: '24 h', appearance: 'system' }
const PASSWORDS = { brewer: 'three hops and a spoon', guest: 'only looking here' }
const NETWORK = { settings: { host: '0.0.0.0', port: 80 }, passwords: PASSWORDS }

async function put({ app }: TestServer, payload: object, headers: Record<string, string> = {}) {
  const answer = await app.inject({
    method: 'PUT',
    url: '/preferences',
    headers: { ...PROGRAM, ...headers },
    payload,
  })
  return { status: answer.statusCode, body: answer.json<unknown>() }
}

async function look({ app }: TestServer, headers: Record<string, string> = {}) {
  return (await app.inject({ url: '/preferences', headers })).json<unknown>()
}

async function signIn({ app }: TestServer, name: keyof typeof PASSWORDS) {
  const payload = { name, password: PASSWORDS[name] }
  const answer = await app.inject({ method: 'POST', url: '/session', headers: PROGRAM, payload })
  return { cookie: `${answer.cookies[0]?.name}=${answer.cookies[0]?.value}` }
}

test('on an open cellar there is one set for anybody here; what is left out is as usual', async () => {
  const server = await startTestServer()
  expect(await look(server)).toEqual(USUAL)
  const chosen = { temperature: 'F', gravity: 'P', volume: 'gal', clock: '12 h', appearance: 'dark' }
  expect(await put(server, chosen)).toEqual({ status: 200, body: chosen })
  expect(await look(server)).toEqual(chosen)
  expect(await put(server, { clock: '12 h' })).toEqual({ status: 200, body: { ...USUAL, clock: '12 h' } })
  expect(server.store.changes).toEqual([])
})

test('everybody has their own, viewers too, and they go when the person goes', async () => {
  const server = await startTestServer(NETWORK)
  const [brewer, guest] = [await signIn(server, 'brewer'), await signIn(server, 'guest')]
  expect((await put(server, { temperature: 'F' }, guest)).status).toBe(200)
  expect(await look(server, guest)).toEqual({ ...USUAL, temperature: 'F' })
  expect(await look(server, brewer)).toEqual(USUAL)
  server.access.people.remove('guest')
  await put(server, { appearance: 'light' }, brewer)
  expect(JSON.parse(server.store.documents.get('access.preferences') ?? '')).toEqual([
    { name: 'brewer', preferences: { appearance: 'light' } },
  ])
})

test('what is no unit is refused with those there are; a device prefers nothing', async () => {
  const server = await startTestServer(NETWORK)
  const brewer = await signIn(server, 'brewer')
  expect(await put(server, { temperature: 'K' }, brewer)).toMatchObject({
    status: 422,
    body: { code: 'wrong-shape', message: expect.stringContaining('/temperature'), cure: '“C” or “F”.' },
  })
  expect(await look(server, brewer)).toEqual(USUAL)
  const token = server.access.tokens.make('collector', { kind: 'view' })
  const device = { authorization: `Bearer ${token}` }
  expect(await put(server, {}, device)).toMatchObject({ status: 403, body: { code: 'not-allowed' } })
  expect((await put(server, {})).status).toBe(401)
})
