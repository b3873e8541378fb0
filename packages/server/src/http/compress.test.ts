import { gunzipSync } from 'node:zlib'
import { expect, test } from 'vitest'
import { startTestServer } from './testing/test-server.ts'

const LARGE = '/openapi.json'

async function look(url: string, accepted?: string) {
  const { app } = await startTestServer()
  const headers = accepted === undefined ? {} : { 'accept-encoding': accepted }
  return app.inject({ url, headers })
}

test('a large answer is packed for whoever unpacks it, and is the same then', async () => {
  const plain = await look(LARGE)
  expect(plain.headers['content-encoding']).toBeUndefined()
  expect(plain.headers.vary).toBe('accept-encoding')
  for (const accepted of ['gzip', 'br, gzip;q=0.5', 'deflate , GZIP']) {
    const packed = await look(LARGE, accepted)
    expect(packed.headers['content-encoding']).toBe('gzip')
    expect(packed.headers['content-length']).toBe(String(packed.rawPayload.length))
    expect(packed.rawPayload.length).toBeLessThan(plain.rawPayload.length / 4)
    expect(gunzipSync(packed.rawPayload).toString()).toBe(plain.body)
  }
})

test('nothing is packed for whoever refuses it, nor what fits into one packet', async () => {
  for (const accepted of ['gzip;q=0', 'gzip; q=0.0', 'br', 'x-gzipped']) {
    expect((await look(LARGE, accepted)).headers['content-encoding']).toBeUndefined()
  }
  const small = await look('/health', 'gzip')
  expect(small.headers['content-encoding']).toBeUndefined()
  expect(small.json()).toMatchObject({})
})
