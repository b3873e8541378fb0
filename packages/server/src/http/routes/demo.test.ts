import { expect, test } from 'vitest'
import { PROGRAM, startTestServer, type TestServer, VESSEL } from '../testing/test-server.ts'

const DEMO_URL = 'http://127.0.0.1:4321'

function demoOf(isRunning: boolean) {
  const demo = { isRunning, started: 0, start: async () => DEMO_URL }
  demo.start = async () => {
    demo.started += 1
    return DEMO_URL
  }
  return demo
}

async function ask({ app }: TestServer, headers: Record<string, string> = {}) {
  const answer = await app.inject({ method: 'POST', url: '/demo', headers: { ...PROGRAM, ...headers } })
  return { status: answer.statusCode, body: answer.json() }
}

test('an empty cellar on this machine opens one; with vessels of its own only the one that runs', async () => {
  const demo = demoOf(false)
  const server = await startTestServer({ parts: { demo } })
  expect(await ask(server)).toMatchObject({ status: 409, body: { code: 'no-demo' } })
  expect(demo.started).toBe(0)
  server.cellar.removeVessel(VESSEL, 'test')
  expect(await ask(server)).toEqual({ status: 200, body: { url: DEMO_URL } })
  demo.isRunning = true
  server.cellar.putVessel('vessel: Cask', '', 'test')
  expect(await ask(server)).toEqual({ status: 200, body: { url: DEMO_URL } })
})

test('a cellar that is open to a network opens none', async () => {
  const demo = demoOf(true)
  const server = await startTestServer({
    settings: { host: '0.0.0.0', port: 80 },
    passwords: { brewer: 'three hops and a spoon', guest: 'only looking here' },
    parts: { demo },
  })
  const payload = { name: 'brewer', password: 'three hops and a spoon' }
  const signed = await server.app.inject({ method: 'POST', url: '/session', headers: PROGRAM, payload })
  const cookie = `${signed.cookies[0]?.name}=${signed.cookies[0]?.value}`
  expect(await ask(server, { cookie })).toMatchObject({
    status: 409,
    body: { code: 'no-demo', cure: expect.stringContaining('serve --demo') },
  })
  expect((await ask(server)).status).toBe(401)
  expect(demo.started).toBe(0)
})

test('no page of another site starts one', async () => {
  const demo = demoOf(true)
  const { app } = await startTestServer({ parts: { demo } })
  for (const headers of [{ origin: 'http://evil.example' }, { 'sec-fetch-site': 'cross-site' }, {}]) {
    expect((await app.inject({ method: 'POST', url: '/demo', headers })).statusCode).toBe(403)
  }
  expect(demo.started).toBe(0)
})
