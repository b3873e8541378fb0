import { afterEach, beforeEach, expect, test } from 'vitest'
import { PushService } from '../../notify/testing/push-service.ts'
import { PROGRAM, startTestServer, type TestServer } from '../testing/test-server.ts'

const PASSWORDS = {
  brewer: 'three hops and a spoon',
  guest: 'only looking here',
  other: 'looking here as well',
}
const NETWORK = { settings: { host: '0.0.0.0', port: 80 }, passwords: PASSWORDS }

let service: PushService
beforeEach(async () => {
  service = await PushService.open()
})
afterEach(async () => {
  await service.close()
})

async function ask(
  { app }: TestServer,
  method: 'GET' | 'POST' | 'DELETE',
  url: string,
  headers: Record<string, string> = {},
  payload?: object,
) {
  const answer = await app.inject({
    method,
    url,
    headers: { ...PROGRAM, ...headers },
    ...(payload === undefined ? {} : { payload }),
  })
  return { status: answer.statusCode, body: answer.json() }
}

async function signIn(server: TestServer, name: keyof typeof PASSWORDS) {
  const payload = { name, password: PASSWORDS[name] }
  const answer = await server.app.inject({ method: 'POST', url: '/session', headers: PROGRAM, payload })
  return { cookie: `${answer.cookies[0]?.name}=${answer.cookies[0]?.value}` }
}

test('a device is added, tried and removed; its address and its keys are never shown', async () => {
  const server = await startTestServer()
  const { body } = await ask(server, 'GET', '/push/key')
  expect(Buffer.from(body.key, 'base64url').length).toBe(65)
  const subscription = service.subscription('/box/secret-part')
  const added = await ask(server, 'POST', '/push/subscriptions', {}, { name: 'Telephone', ...subscription })
  expect(added).toMatchObject({ status: 201, body: { name: 'Telephone', who: 'brewer' } })
  const list = await ask(server, 'GET', '/push/subscriptions')
  expect(list.body).toEqual([added.body])
  expect(JSON.stringify(list.body)).not.toMatch(/secret-part/)
  expect(JSON.stringify(list.body)).not.toContain(subscription.keys.auth)
  const { id } = added.body
  expect(await ask(server, 'POST', `/push/subscriptions/${id}/try`)).toMatchObject({
    status: 200,
    body: { ok: true },
  })
  expect(service.caught.map(({ text }) => JSON.parse(text).kind)).toEqual(['test'])
  expect((await ask(server, 'GET', '/notify')).body).toMatchObject([{ name: 'devices', kind: 'push' }])
  expect(await ask(server, 'DELETE', `/push/subscriptions/${id}`)).toMatchObject({ status: 200 })
  expect(await ask(server, 'DELETE', `/push/subscriptions/${id}`)).toMatchObject({
    status: 404,
    body: { code: 'unknown-device' },
  })
})

test('a viewer has their own devices and sees no others; a brewer sees all; a device of a door has none', async () => {
  const server = await startTestServer(NETWORK)
  const [brewer, guest, other] = [
    await signIn(server, 'brewer'),
    await signIn(server, 'guest'),
    await signIn(server, 'other'),
  ]
  const payload = { name: 'Tablet', ...service.subscription() }
  const { body } = await ask(server, 'POST', '/push/subscriptions', guest, payload)
  expect(body).toMatchObject({ who: 'guest' })
  const url = `/push/subscriptions/${body.id}`
  expect((await ask(server, 'GET', '/push/subscriptions', other)).body).toEqual([])
  expect((await ask(server, 'POST', `${url}/try`, other)).status).toBe(404)
  expect((await ask(server, 'DELETE', url, other)).status).toBe(404)
  expect((await ask(server, 'GET', '/push/subscriptions', brewer)).body).toEqual([body])
  expect((await ask(server, 'DELETE', url, brewer)).status).toBe(200)
  const token = server.access.tokens.make('collector', { kind: 'view' })
  const device = { authorization: `Bearer ${token}` }
  expect((await ask(server, 'GET', '/push/key', device)).status).toBe(403)
  expect((await ask(server, 'POST', '/push/subscriptions', device, payload)).status).toBe(403)
  expect((await ask(server, 'GET', '/push/key')).status).toBe(401)
})

test('whoever is let in no more is told no more', async () => {
  const server = await startTestServer(NETWORK)
  const [brewer, guest] = [await signIn(server, 'brewer'), await signIn(server, 'guest')]
  for (const [name, headers] of [
    ['Tablet', guest],
    ['Telephone', guest],
    ['Desk', brewer],
  ] as const) {
    const payload = { name, ...service.subscription(`/box/${name}`) }
    await ask(server, 'POST', '/push/subscriptions', headers, payload)
  }
  expect((await ask(server, 'DELETE', '/people/guest', brewer)).status).toBe(200)
  expect((await ask(server, 'GET', '/push/subscriptions', brewer)).body).toMatchObject([{ name: 'Desk' }])
})

test('an address that leads into the house is refused, and nothing is sent there', async () => {
  const server = await startTestServer()
  const { keys } = service.subscription()
  for (const endpoint of ['https://192.168.1.1/x', 'http://push.example.net/x', 'https://printer.local/x']) {
    const payload = { name: 'Telephone', endpoint, keys }
    expect(await ask(server, 'POST', '/push/subscriptions', {}, payload)).toMatchObject({
      status: 422,
      body: { code: 'wrong-value', message: expect.stringContaining('/endpoint') },
    })
  }
  const payload = { name: 'x', endpoint: 'https://push.example.net/x', keys: { p256dh: '!', auth: 'AAAA' } }
  expect((await ask(server, 'POST', '/push/subscriptions', {}, payload)).body).toMatchObject({
    code: 'wrong-shape',
    message: expect.stringContaining('/keys/p256dh'),
  })
})
