import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { databaseIn, openRecords, RestoreError, restoreBackup } from './data-folder.ts'
import { FolderInUse, lockFolder } from './folder-lock.ts'
import { openSqliteStore } from './store/sqlite/open.ts'

const NOW_ms = Date.UTC(2026, 10, 24, 20, 15)

let scratch = ''
let data = ''
beforeEach(() => {
  scratch = mkdtempSync(join(tmpdir(), 'attemper-restore-'))
  data = join(scratch, 'data')
})
afterEach(() => {
  rmSync(scratch, { recursive: true, force: true })
})

/** A backup of a cellar whose only document says so. */
async function backupSaying(text: string): Promise<string> {
  const file = join(scratch, `${text}.backup`)
  const store = openSqliteStore(join(scratch, `${text}.sqlite`))
  store.putDocument('said', text)
  await store.backup(file)
  store.close()
  return file
}

function saidIn(folder: string): string | null {
  const store = openSqliteStore(databaseIn(folder))
  try {
    return store.getDocument('said')
  } finally {
    store.close()
  }
}

test('a backup becomes the records of a new folder', async () => {
  expect(await restoreBackup(await backupSaying('one'), data, NOW_ms)).toEqual({ kept: null })
  expect(saidIn(data)).toBe('one')
})

test('records that are there already are kept beside', async () => {
  await restoreBackup(await backupSaying('one'), data, NOW_ms)
  const { kept } = await restoreBackup(await backupSaying('two'), data, NOW_ms)
  expect(saidIn(data)).toBe('two')
  const old = openSqliteStore(kept!)
  expect(old.getDocument('said')).toBe('one')
  old.close()
})

test.each([
  ['an empty file', ''],
  ['a text', 'vessel: Bucket\n'.repeat(100)],
])('%s is refused, and the records stay as they are', async (_what, content) => {
  await restoreBackup(await backupSaying('one'), data, NOW_ms)
  const file = join(scratch, 'odd')
  writeFileSync(file, content)
  await expect(restoreBackup(file, data, NOW_ms)).rejects.toThrow(RestoreError)
  expect(saidIn(data)).toBe('one')
  expect(existsSync(`${databaseIn(data)}.restored`)).toBe(false)
})

test('a backup with a damaged page is refused', async () => {
  const file = await backupSaying('one')
  const bytes = readFileSync(file)
  // The whole of the second page; the first holds the header and the schema.
  bytes.fill(0xff, 8192, 2 * 8192)
  writeFileSync(file, bytes)
  await expect(restoreBackup(file, data, NOW_ms)).rejects.toThrow(RestoreError)
  expect(existsSync(databaseIn(data))).toBe(false)
})

test('nothing is restored under a running cellar', async () => {
  const file = await backupSaying('one')
  const lock = lockFolder(data, 'process 4711')
  await expect(restoreBackup(file, data, NOW_ms)).rejects.toThrow(FolderInUse)
  lock.release()
})

test.each([
  ['not there', () => rmSync(databaseIn(data))],
  ['empty', () => writeFileSync(databaseIn(data), '')],
])('records that are gone (%s) are not replaced by new ones without a word', async (what, harm) => {
  mkdirSync(data)
  openRecords(data).store.close()
  openRecords(data).store.close()
  harm()
  const again = () => openRecords(data).store.close()
  expect(again).toThrow(expect.objectContaining({ code: 'gone', message: expect.stringContaining(what) }))
  expect(again).toThrow(/attemper restore FILE/)
  await restoreBackup(await backupSaying('back'), data, NOW_ms)
  again()
  expect(saidIn(data)).toBe('back')
  rmSync(databaseIn(data))
  // Whoever means it can begin anew.
  rmSync(join(data, 'holds-records.txt'))
  again()
  expect(saidIn(data)).toBeNull()
})
