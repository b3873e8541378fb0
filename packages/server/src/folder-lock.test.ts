import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { FolderInUse, lockFolder } from './folder-lock.ts'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-lock-'))
})
afterEach(() => {
  rmSync(folder, { recursive: true, force: true })
})

test('the second to come is told who has the folder, and gets it when it is let go', () => {
  const first = lockFolder(folder, 'process 4711')
  expect(() => lockFolder(folder, 'process 4712')).toThrow(FolderInUse)
  expect(() => lockFolder(folder, 'process 4712')).toThrow('in use by process 4711')
  first.release()
  first.release()
  lockFolder(folder, 'process 4712').release()
})

test('makes the folder where there is none', () => {
  lockFolder(join(folder, 'new', 'cellar'), 'me').release()
})

test('a process that was killed leaves nothing in the way', async () => {
  const module = new URL('./folder-lock.ts', import.meta.url).href
  const script = `
    const { lockFolder } = await import(${JSON.stringify(module)})
    globalThis.lock = lockFolder(${JSON.stringify(folder)}, 'process ' + process.pid)
    console.log('locked')
    setInterval(() => {}, 1000)`
  const other = spawn(process.execPath, ['--input-type=module', '-e', script], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  await once(other.stdout, 'data')
  expect(() => lockFolder(folder, 'me')).toThrow(`process ${other.pid}`)
  const ended = once(other, 'exit')
  other.kill('SIGKILL')
  await ended
  lockFolder(folder, 'me').release()
})
