import { request } from 'node:https'
import { expect, test } from 'vitest'
import { TEST_CERTIFICATE } from './testing/test-certificate.ts'
import { startTestServer } from './testing/test-server.ts'

interface Answer {
  readonly status: number | undefined
  readonly cookies: readonly string[]
}

test('with certificate files the cellar speaks TLS, and its cookies never go out without', async () => {
  const { app } = await startTestServer({
    settings: { host: '0.0.0.0', port: 443, tls: TEST_CERTIFICATE },
    passwords: { brewer: 'three hops and a spoon' },
  })
  await app.listen({ host: '127.0.0.1', port: 0 })
  const { port } = app.server.address() as { port: number }
  const send = (origin: string) =>
    new Promise<Answer>((resolve, reject) => {
      const sent = request(
        {
          host: 'localhost',
          family: 4,
          port,
          ca: TEST_CERTIFICATE.cert,
          method: 'POST',
          path: '/session',
          headers: { origin, 'content-type': 'application/json' },
        },
        answer => {
          answer.resume()
          resolve({ status: answer.statusCode, cookies: answer.headers['set-cookie'] ?? [] })
        },
      )
      sent.on('error', reject)
      sent.end(JSON.stringify({ password: 'three hops and a spoon' }))
    })
  const own = await send(`https://localhost:${port}`)
  expect(own.status).toBe(200)
  expect(own.cookies).toEqual([expect.stringMatching(/; HttpOnly; Secure; SameSite=Strict$/)])
  // The same name without TLS may be anybody in the network.
  expect((await send(`http://localhost:${port}`)).status).toBe(403)
})
