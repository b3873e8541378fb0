import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { type RunningCellar, startCellar } from '../main.ts'
import { DEMO_SPEED } from './demo-speed.ts'

let folder = ''
let cellar: RunningCellar
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-beside-'))
  // What is thrown away goes below a folder of this test.
  vi.stubEnv('TMPDIR', folder)
  cellar = await startCellar({
    dataDir: join(folder, 'data'),
    host: '127.0.0.1',
    port: 0,
    mqttPort: 0,
    log: () => undefined,
  })
})
afterEach(async () => {
  await cellar.close()
  vi.unstubAllEnvs()
  rmSync(folder, { recursive: true, force: true })
})

async function ask(url: string, method = 'GET') {
  const answer = await fetch(url, { method, headers: { 'x-attemper': '1' } })
  return { status: answer.status, body: await answer.json() }
}

test('a full cellar opens beside an empty one, once, and ends with it', { timeout: 120_000 }, async () => {
  const [first, second] = await Promise.all([
    ask(`${cellar.url}/demo`, 'POST'),
    ask(`${cellar.url}/demo`, 'POST'),
  ])
  expect(first).toMatchObject({
    status: 200,
    body: { url: expect.stringMatching(/^http:\/\/127\.0\.0\.1:\d+$/) },
  })
  expect(second).toEqual(first)
  const { url } = first.body as { readonly url: string }
  expect(url).not.toBe(cellar.url)
  expect((await ask(`${url}/health`)).body).toMatchObject({ speed: DEMO_SPEED })
  expect((await ask(`${url}/batches`)).body).toHaveLength(3)
  expect((await ask(`${cellar.url}/vessels`)).body).toEqual([])
  // In the demonstration itself there is nothing more to demonstrate.
  expect(await ask(`${url}/demo`, 'POST')).toMatchObject({ status: 409, body: { code: 'no-demo' } })
  const thrownAway = () => readdirSync(folder).filter(name => name.startsWith('attemper-demo-'))
  expect(thrownAway()).toHaveLength(1)
  await cellar.close()
  await expect(fetch(`${url}/health`)).rejects.toThrow()
  expect(thrownAway()).toEqual([])
  expect(existsSync(join(folder, 'data'))).toBe(true)
})
