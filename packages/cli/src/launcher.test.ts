import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { homedir, tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'

const HOUSE = fileURLToPath(new URL('../../..', import.meta.url))
const LAUNCHER = fileURLToPath(new URL('../bin/attemper.js', import.meta.url))
/** A Node of the system, older than the program needs: the launcher then hands over to the one that was installed. */
const SYSTEM_NODE = '/usr/bin/node'
const SYSTEM_NPX = '/usr/bin/npx'
const SIGNED = 'The cellar is being closed'

let folder: string
let started: ChildProcess | null = null

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-launcher-'))
})

afterEach(async () => {
  if (started?.pid !== undefined) {
    try {
      process.kill(-started.pid, 'SIGKILL')
    } catch {
      // All of them have ended.
    }
  }
  started = null
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 })
})

/** A cellar that was started through another program, in a group of its own, as a supervisor does it. */
async function serveThrough(program: string, words: readonly string[]) {
  const all = [...words, 'serve', '--data', folder, '--port', '0', '--mqtt-port', '0']
  // npm must look at nothing outside of this machine.
  const env = {
    PATH: '/usr/bin:/bin',
    HOME: folder,
    // What was compiled for the tests before need not be compiled again.
    XDG_CACHE_HOME: join(homedir(), '.cache'),
    npm_config_offline: 'true',
    npm_config_update_notifier: 'false',
  }
  const child = spawn(program, all, { cwd: HOUSE, detached: true, stdio: ['ignore', 'pipe', 'pipe'], env })
  started = child
  let said = ''
  const opened = Promise.withResolvers<string>()
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (text: Buffer) => {
      said += text.toString()
      const url = /http:\/\/127[0-9.:]+/.exec(said)?.[0]
      if (url !== undefined) opened.resolve(url)
    })
  }
  child.once('exit', status => opened.reject(new Error(`ended with ${status}: ${said}`)))
  child.once('error', opened.reject)
  const url = await opened.promise
  return { child, url, said: () => said }
}

async function isAlive(url: string): Promise<boolean> {
  return fetch(`${url}/health`).then(
    answer => answer.ok,
    () => false,
  )
}

async function endsWithin(url: string, most_ms: number): Promise<boolean> {
  for (const until = Date.now() + most_ms; Date.now() < until; await wait(200)) {
    if (!(await isAlive(url)) && !existsSync(join(folder, 'in-use.txt'))) return true
  }
  return false
}

describe.runIf(existsSync(SYSTEM_NODE))('a cellar that the launcher has handed over to another Node', () => {
  // The incident: CI ended the launcher, and the cellar that it had started lived on, with nobody to end it.
  it('ends when the launcher is ended', async () => {
    const { child, url } = await serveThrough(SYSTEM_NODE, [LAUNCHER])
    child.kill('SIGTERM')
    const [status] = await once(child, 'exit')
    expect(await isAlive(url)).toBe(false)
    expect(status).toBe(0)
  })

  // The incident: systemd signals the whole group, so the cellar heard the signal twice, took it for "at once", and left a
  // Modbus coil on.
  it.each(['SIGTERM', 'SIGINT', 'SIGHUP'] as const)(
    'ends in order when its whole group hears %s',
    async signal => {
      const { child, url, said } = await serveThrough(SYSTEM_NODE, [LAUNCHER])
      process.kill(-child.pid!, signal)
      const [status] = await once(child, 'exit')
      expect(status).toBe(0)
      expect(said()).toContain(SIGNED)
      expect(await endsWithin(url, 3000)).toBe(true)
    },
  )

  // The incident: killed itself, the launcher could pass nothing on.
  it('ends in order when the launcher is killed', async () => {
    const { child, url } = await serveThrough(SYSTEM_NODE, [LAUNCHER])
    child.kill('SIGKILL')
    expect(await endsWithin(url, 10_000)).toBe(true)
  })
})

// The incident: npx passes no signal on, so that a cellar went on heating for nobody.
describe.runIf(existsSync(SYSTEM_NPX))('a cellar that was started by npx', () => {
  it.each(['SIGTERM', 'SIGKILL'] as const)(
    'ends in order when npx hears %s',
    async signal => {
      const { child, url } = await serveThrough(SYSTEM_NPX, ['attemper'])
      child.kill(signal)
      expect(await endsWithin(url, 10_000)).toBe(true)
    },
    60_000,
  )
})
