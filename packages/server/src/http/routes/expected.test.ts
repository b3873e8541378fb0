import { expect, test } from 'vitest'
import { startBatch, startTestServer } from '../testing/test-server.ts'

const EXPECTED = [
  { from: 'primary', to: 'crash', at_ms: 1_795_600_000_000, earliest_ms: 1_795_500_000_000 },
  { from: 'crash', to: null, at_ms: 1_795_700_000_000 },
]

test('the forecast of a running batch, as data; of one that has ended nothing is expected', async () => {
  const asked: string[] = []
  const server = await startTestServer({
    parts: {
      forecast: view => {
        asked.push(view.stage)
        return EXPECTED
      },
    },
  })
  const id = startBatch(server)
  const look = async () => (await server.app.inject(`/batches/${id}/expected`)).json<unknown>()
  expect(await look()).toEqual(EXPECTED)
  expect(asked).toEqual(['primary'])
  server.cellar.stop(id, 'test')
  expect(await look()).toEqual([])
  expect(asked).toEqual(['primary'])
  const unknown = await server.app.inject('/batches/none/expected')
  expect([unknown.statusCode, unknown.json()]).toMatchObject([404, { code: 'unknown-batch' }])
})

test('without a forecast nothing is expected', async () => {
  const server = await startTestServer()
  const id = startBatch(server)
  expect((await server.app.inject(`/batches/${id}/expected`)).json()).toEqual([])
})
