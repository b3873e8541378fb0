import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { databaseIn } from '@attemper/server/data-folder.ts'
import { openSqliteStore } from '@attemper/server/store/sqlite/open.ts'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { main } from '../main.ts'
import { expectShape } from '../testing/expect-shape.ts'
import { memoryIo } from '../testing/memory-io.ts'

const PAGE_B = 8192

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-verify-'))
  mkdirSync(join(folder, 'data'))
  openSqliteStore(databaseIn(join(folder, 'data'))).close()
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

async function verify(...words: string[]) {
  const io = memoryIo({ folder })
  const status = await main(['verify', '--data', 'data', ...words], io)
  return { status, ...io.written }
}

test('records without a fault are said to be so', async () => {
  const { status, out } = await verify()
  expect([status, out]).toEqual([0, expect.stringContaining('Nothing is wrong')])
})

// Which of them already hinder opening differs; damage was called a fault of attemper itself, or not noticed.
test.each([1, 2, 3, 4, 6, 7, 12, 14, 16])(
  'page %i that is overwritten is damage, with its cure',
  async page => {
    const file = databaseIn(join(folder, 'data'))
    const bytes = readFileSync(file)
    bytes.fill(0, (page - 1) * PAGE_B, page * PAGE_B)
    writeFileSync(file, bytes)
    const { status, out, err } = await verify()
    expect(status, err).toBe(1)
    expect(out.replace(/\s+/g, ' ')).toMatch(/(damaged|malformed|not a database).*attemper restore FILE/)
    expect(err).toBe('')
    expect(expectShape('verify', (await verify('--json')).out).faults).not.toEqual([])
  },
)
