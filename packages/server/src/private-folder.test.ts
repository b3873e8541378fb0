import { chmodSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { databaseIn, openRecords, restoreBackup } from './data-folder.ts'
import { lockFolder } from './folder-lock.ts'
import { makePrivateFolder } from './private-folder.ts'
import { openSqliteStore } from './store/sqlite/open.ts'

let scratch = ''
let data = ''
let umask = 0
beforeEach(() => {
  // As most systems have it: others may read.
  umask = process.umask(0o022)
  scratch = mkdtempSync(join(tmpdir(), 'attemper-private-'))
  data = join(scratch, 'deep', 'data')
})
afterEach(() => {
  process.umask(umask)
  rmSync(scratch, { recursive: true, force: true })
})

const rights = (path: string) => (statSync(path).mode & 0o777).toString(8)
const rightsIn = (folder: string) => readdirSync(folder).map(name => `${name} ${rights(join(folder, name))}`)

// The incident: everybody on the machine could read the data folder, with the secret that signs sessions and the password of
// the mail server.
test('a cellar makes nothing that others can read: database, its companions, lock, backup, what is restored', async () => {
  const lock = lockFolder(data, 'process 4711')
  expect(lock.openings).toEqual([])
  const store = openSqliteStore(databaseIn(data))
  store.putDocument('secret', 'pear')
  await store.backup(join(scratch, 'cellar.backup'))
  expect(rights(data)).toBe('700')
  expect(rights(join(scratch, 'deep'))).toBe('700')
  const made = rightsIn(data)
  expect(made).toEqual(
    expect.arrayContaining(['cellar.sqlite 600', 'cellar.sqlite-wal 600', 'in-use.txt 600']),
  )
  expect(made.filter(each => !each.endsWith(' 600'))).toEqual([])
  expect(rights(join(scratch, 'cellar.backup'))).toBe('600')
  store.close()
  lock.release()

  chmodSync(join(scratch, 'cellar.backup'), 0o644)
  const { kept } = await restoreBackup(join(scratch, 'cellar.backup'), data, 0)
  expect(rights(databaseIn(data))).toBe('600')
  expect(rights(kept!)).toBe('600')
})

test('a folder of an older version is closed to others at the start', () => {
  const before = lockFolder(data, 'process 4711')
  openRecords(data).store.close()
  before.release()
  chmodSync(databaseIn(data), 0o644)
  chmodSync(data, 0o755)
  const lock = lockFolder(data, 'process 4712')
  expect([lock.openings, rights(data), rights(databaseIn(data))]).toEqual([[], '700', '600'])
  lock.release()
})

test('a folder in which other things lie keeps its rights, what is ours does not; one that all may write to is told of', () => {
  writeFileSync(join(scratch, 'notes.txt'), 'mine')
  writeFileSync(join(scratch, 'cellar.sqlite'), '')
  chmodSync(scratch, 0o755)
  expect(makePrivateFolder(scratch)).toEqual([])
  expect(rightsIn(scratch).sort()).toEqual(['cellar.sqlite 600', 'notes.txt 644'])
  expect(rights(scratch)).toBe('755')
  chmodSync(scratch, 0o777)
  expect(makePrivateFolder(scratch)).toEqual([expect.stringContaining(`say “chmod go-w ${scratch}”`)])
})
