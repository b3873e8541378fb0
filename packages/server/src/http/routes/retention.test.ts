import { expect, test } from 'vitest'
import { PROGRAM, startTestServer } from '../testing/test-server.ts'

const URL = '/retention'

test('everything is kept until somebody says otherwise, and that stands in the record of changes', async () => {
  let told = 0
  const { app, store } = await startTestServer({ parts: { onNewRetention: () => told++ } })
  expect((await app.inject(URL)).json()).toEqual({
    fullDetail_d: null,
    byTheMinute_d: null,
    sentence: 'All readings are kept for ever.',
  })
  const payload = { fullDetail_d: 730, byTheMinute_d: null }
  const put = await app.inject({ method: 'PUT', url: URL, headers: PROGRAM, payload })
  expect(put.statusCode).toBe(200)
  expect((await app.inject(URL)).json()).toMatchObject(payload)
  expect(told).toBe(1)
  expect(store.changes.at(-1)?.what).toContain('every single reading is kept for 730 days')
})

test.each([
  [{ fullDetail_d: 1, byTheMinute_d: null }],
  [{ fullDetail_d: 730, byTheMinute_d: 30 }],
  [{ fullDetail_d: 730 }],
  [{ fullDetail_d: '2 years', byTheMinute_d: null }],
])('%j is refused, and the rule stays', async payload => {
  const { app } = await startTestServer()
  expect((await app.inject({ method: 'PUT', url: URL, headers: PROGRAM, payload })).statusCode).toBe(422)
  expect((await app.inject(URL)).json()).toMatchObject({ fullDetail_d: null })
})

test('a viewer may look at it, and not change it', async () => {
  const { app } = await startTestServer({
    settings: { host: '0.0.0.0', port: 80 },
    passwords: { brewer: 'three hops and a spoon', guest: 'a spoon and three hops' },
  })
  const { headers } = await app.inject({
    method: 'POST',
    url: '/session',
    headers: PROGRAM,
    payload: { name: 'guest', password: 'a spoon and three hops' },
  })
  const cookie = String(headers['set-cookie']).split(';', 1)[0]
  const signedIn = { ...PROGRAM, cookie }
  expect((await app.inject({ url: URL, headers: signedIn })).statusCode).toBe(200)
  const payload = { fullDetail_d: 730, byTheMinute_d: null }
  expect((await app.inject({ method: 'PUT', url: URL, headers: signedIn, payload })).statusCode).toBe(403)
})
