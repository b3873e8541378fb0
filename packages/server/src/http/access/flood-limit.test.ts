import { expect, test } from 'vitest'
import { startTestServer, VESSEL } from '../testing/test-server.ts'
import { FLOOD_AT_ONCE, FLOOD_PER_SECOND } from './flood-limit.ts'

test('a device that floods the cellar is told to wait, others are not, and it is heard again afterwards', async () => {
  const server = await startTestServer()
  const make = (name: string) => server.access.tokens.make(name, { kind: 'readings', vessel: VESSEL })
  const [mad, calm] = [make('Mad float'), make('Calm float')]
  const send = (token: string, at_ms: number) =>
    server.app.inject({
      method: 'POST',
      url: '/readings',
      headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
      payload: [{ value: 18, at_ms }],
    })
  const now_ms = server.clock.now_ms()
  const codes: number[] = []
  for (let i = 0; i < FLOOD_AT_ONCE + 20; i++) codes.push((await send(mad, now_ms - i)).statusCode)
  expect(codes.filter(code => code === 200)).toHaveLength(FLOOD_AT_ONCE)
  const refused = await send(mad, now_ms - 1e6)
  expect(refused.statusCode).toBe(429)
  expect(refused.headers['retry-after']).toBe('2')
  expect(refused.json()).toMatchObject({
    code: 'too-many',
    message: `device Mad float asks more than ${FLOOD_PER_SECOND} times a second.`,
    cure: expect.stringContaining('send it again'),
  })
  // What was refused was not taken.
  expect(server.store.kept).toHaveLength(FLOOD_AT_ONCE)
  expect((await send(calm, now_ms - 2e6)).statusCode).toBe(200)
  server.clock.pass(1000)
  expect((await send(mad, now_ms - 1e6)).statusCode).toBe(200)
})

test('a person whose screens ask for much at once is not counted', async () => {
  const { app } = await startTestServer()
  const codes = new Set<number>()
  for (let i = 0; i < FLOOD_AT_ONCE + 20; i++) codes.add((await app.inject('/vessels')).statusCode)
  expect([...codes]).toEqual([200])
})
