import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { brotliCompressSync, brotliDecompressSync, gzipSync } from 'node:zlib'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { PROGRAM, startTestServer } from '../testing/test-server.ts'

const SCRIPT = 'document.title = "Cellar"'
const HASHED = 'assets/index-BxY3_k9a.js'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-screens-'))
  const dist = join(folder, 'dist')
  mkdirSync(join(dist, 'assets'), { recursive: true })
  writeFileSync(join(folder, 'secret.txt'), 'not of the screens')
  writeFileSync(join(dist, 'index.html'), '<!doctype html><title>Cellar</title>')
  writeFileSync(join(dist, HASHED), SCRIPT)
  writeFileSync(join(dist, `${HASHED}.br`), brotliCompressSync(SCRIPT))
  writeFileSync(join(dist, `${HASHED}.gz`), gzipSync(SCRIPT))
  writeFileSync(join(dist, 'assets', 'plain.js'), SCRIPT)
  writeFileSync(join(dist, 'service-worker.js'), SCRIPT)
  writeFileSync(join(dist, 'manifest.webmanifest'), '{"name":"Cellar"}')
  writeFileSync(join(dist, '.env'), 'KEY=1')
})
afterEach(() => {
  rmSync(folder, { recursive: true, force: true })
})

const start = (more: Parameters<typeof startTestServer>[0] = {}) =>
  startTestServer({ ...more, parts: { screensDir: join(folder, 'dist') } })

describe('the screens', () => {
  test('begin at the root, and are asked for again each time', async () => {
    const { app } = await start()
    const answer = await app.inject('/')
    expect([answer.statusCode, answer.body]).toEqual([200, '<!doctype html><title>Cellar</title>'])
    expect(answer.headers).toMatchObject({
      'content-type': 'text/html; charset=utf-8',
      'cache-control': 'no-cache',
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
    })
    const again = await app.inject({ url: '/', headers: { 'if-none-match': String(answer.headers.etag) } })
    expect([again.statusCode, again.body]).toEqual([304, ''])
    expect((await app.inject({ method: 'HEAD', url: '/' })).statusCode).toBe(200)
  })

  test('may load nothing from elsewhere, and no script that stands in a page', async () => {
    const { app } = await start()
    for (const url of ['/', `/${HASHED}`, '/service-worker.js']) {
      const policy = String((await app.inject(url)).headers['content-security-policy'])
      const of = (name: string) => policy.split('; ').find(part => part.startsWith(`${name} `))
      expect(of('default-src')).toBe("default-src 'none'")
      expect(of('script-src')).toBe("script-src 'self'")
      expect(of('connect-src')).toBe("connect-src 'self'")
      expect(of('worker-src')).toBe("worker-src 'self' blob:")
      expect(of('frame-ancestors')).toBe("frame-ancestors 'none'")
      expect(policy).not.toMatch(/unsafe-eval|https?:|\*/)
    }
  })

  test('a file with a hash in its name is kept for a year, any other is asked for again', async () => {
    const { app } = await start()
    const cacheOf = async (url: string) => {
      const answer = await app.inject(url)
      return [answer.statusCode, answer.headers['cache-control'], answer.headers['content-type']]
    }
    const script = 'application/javascript; charset=utf-8'
    expect(await cacheOf(`/${HASHED}`)).toEqual([200, 'public, max-age=31536000, immutable', script])
    expect(await cacheOf('/assets/plain.js')).toEqual([200, 'no-cache', script])
    expect(await cacheOf('/service-worker.js')).toEqual([200, 'no-cache', script])
    const manifest = await cacheOf('/manifest.webmanifest')
    expect(manifest).toEqual([200, 'no-cache', expect.stringMatching(/^application\/manifest\+json/)])
  })

  test('go out as they were compressed when they were built, to whoever understands that', async () => {
    const { app } = await start()
    const ask = (encoding: string) =>
      app.inject({ url: `/${HASHED}`, headers: { 'accept-encoding': encoding } })
    const small = await ask('gzip, deflate, br')
    expect(small.headers).toMatchObject({
      'content-encoding': 'br',
      'content-type': 'application/javascript; charset=utf-8',
      'cache-control': 'public, max-age=31536000, immutable',
      vary: expect.stringMatching(/accept-encoding/i),
    })
    expect(brotliDecompressSync(small.rawPayload).toString()).toBe(SCRIPT)
    expect((await ask('gzip')).headers['content-encoding']).toBe('gzip')
    const plain = await ask('identity')
    expect([plain.headers['content-encoding'], plain.body]).toEqual([undefined, SCRIPT])
  })

  test.each([
    '/../secret.txt',
    '/assets/../../secret.txt',
    '/%2e%2e/secret.txt',
    '/..%2fsecret.txt',
    '/assets/..%5c..%5csecret.txt',
    '/%252e%252e/secret.txt',
    '//secret.txt',
    '/assets/index.js%00.txt',
    '/.env',
    '/assets',
    '/assets/',
  ])('%s leads to no file', async url => {
    const { app } = await start()
    const answer = await app.inject(url)
    expect([400, 404]).toContain(answer.statusCode)
    expect(answer.body).not.toMatch(/not of the screens|KEY=1/)
    expect(answer.json()).toMatchObject({
      code: expect.stringMatching(/^(?:unknown-address|wrong-request)$/),
    })
  })

  test('need no signing in, but what they show does', async () => {
    const { app } = await start({
      settings: { host: '0.0.0.0', port: 80 },
      passwords: { brewer: 'three hops and a spoon' },
    })
    expect((await app.inject('/')).statusCode).toBe(200)
    expect((await app.inject(`/${HASHED}`)).statusCode).toBe(200)
    expect((await app.inject('/batches')).statusCode).toBe(401)
  })

  test('are not for other hosts, nor for pages of other sites', async () => {
    const { app } = await start()
    for (const url of ['/', `/${HASHED}`]) {
      const rebound = await app.inject({ url, headers: { host: 'rebound.example' } })
      expect([rebound.statusCode, rebound.json()]).toMatchObject([403, { code: 'foreign-host' }])
      const foreign = await app.inject({ url, headers: { 'sec-fetch-site': 'cross-site' } })
      expect([foreign.statusCode, foreign.json()]).toMatchObject([403, { code: 'foreign-origin' }])
    }
  })

  test('leave the other addresses as they are', async () => {
    const { app } = await start()
    const ask = async (method: 'GET' | 'POST', url: string) => {
      const answer = await app.inject({ method, url, headers: PROGRAM })
      return [answer.statusCode, answer.json().code]
    }
    expect((await app.inject('/health')).json()).toMatchObject({ alive: true })
    expect(await ask('GET', '/nowhere')).toEqual([404, 'unknown-address'])
    expect(await ask('POST', '/')).toEqual([404, 'unknown-address'])
    expect(await ask('POST', '/index.html')).toEqual([404, 'unknown-address'])
    expect((await app.inject('/batches')).headers['cache-control']).toBe('no-store')
  })
})

test('screens that are not built say how to build them, and are there as soon as they are', async () => {
  const { app } = await start()
  rmSync(join(folder, 'dist'), { recursive: true })
  for (const server of [app, (await startTestServer()).app]) {
    const answer = await server.inject('/')
    expect(answer.statusCode).toBe(503)
    expect(answer.headers).toMatchObject({
      'content-type': 'text/html; charset=utf-8',
      'cache-control': 'no-cache',
    })
    expect(answer.body).toContain('The screens have not been built')
    expect(answer.body).toContain('npm run build')
    expect((await server.inject('/assets/x.js')).json()).toMatchObject({ code: 'unknown-address' })
  }
  mkdirSync(join(folder, 'dist'))
  writeFileSync(join(folder, 'dist', 'index.html'), 'built')
  expect((await app.inject('/')).body).toBe('built')
})
