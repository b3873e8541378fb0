import { once } from 'node:events'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { type AddressInfo, createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { isRefusal, startCellar } from './main.ts'
import { screensFolder } from './start/screens-folder.ts'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-main-'))
})
afterEach(() => {
  rmSync(folder, { recursive: true, force: true })
})

const options = () => ({
  dataDir: join(folder, 'data'),
  host: '127.0.0.1',
  port: 0,
  mqttPort: 0,
  log: () => undefined,
})

test('answers over HTTP and counts its MQTT clients; when closed, the folder is free again', async () => {
  for (let time = 0; time < 2; time++) {
    const running = await startCellar(options())
    const health = await fetch(`${running.url}/health`)
    expect(await health.json()).toMatchObject({ alive: true, speed: 1 })
    expect(await (await fetch(`${running.url}/metrics`)).text()).toContain('attemper_mqtt_clients 0')
    expect(running.mqttUrl).toMatch(/^mqtt:\/\/127\.0\.0\.1:\d+$/)
    await running.close()
  }
})

test('serves the screens of a folder at its own address; without one, those of their package', async () => {
  const screensDir = join(folder, 'screens')
  mkdirSync(screensDir)
  writeFileSync(join(screensDir, 'index.html'), 'the screens')
  const running = await startCellar({ ...options(), screensDir })
  expect(await (await fetch(running.url)).text()).toBe('the screens')
  await running.close()
  expect(screensFolder()).toBe(fileURLToPath(new URL('../../web/dist', import.meta.url)))
})

test.each([
  ['port', '--port'],
  ['mqttPort', '--mqtt-port'],
] as const)(
  'a %s that is taken is refused with the option that helps, and the folder is free again',
  async (name, option) => {
    const other = createServer().listen(0, '127.0.0.1')
    await once(other, 'listening')
    const { port } = other.address() as AddressInfo
    const problem: unknown = await startCellar({ ...options(), [name]: port }).catch(error => error)
    expect(isRefusal(problem)).toBe(true)
    expect((problem as Error).message).toContain(option)
    other.close()
    await (await startCellar({ ...options(), [name]: port })).close()
  },
)

test('a host beyond this machine is refused as long as there is no password', async () => {
  const problem: unknown = await startCellar({ ...options(), host: 'localhost.invalid' }).catch(
    error => error,
  )
  expect(isRefusal(problem)).toBe(true)
})
