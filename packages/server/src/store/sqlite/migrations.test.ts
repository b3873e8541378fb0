import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { MIGRATIONS, migrate } from './migrations.ts'
import { openSqliteStore } from './open.ts'

let folder = ''
let file = ''

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-migrations-'))
  file = join(folder, 'cellar.db')
})

afterEach(() => rmSync(folder, { recursive: true }))

function withDatabase<Result>(work: (db: DatabaseSync) => Result): Result {
  const db = new DatabaseSync(file)
  try {
    return work(db)
  } finally {
    db.close()
  }
}

function versions(): readonly unknown[] {
  return withDatabase(db => db.prepare('select number from version order by number').all()).map(
    ({ number }) => number,
  )
}

describe('a database file', () => {
  test('is made with the version of this software, and opened again without a change', () => {
    openSqliteStore(file).close()
    openSqliteStore(file).close()
    expect(versions()).toEqual(MIGRATIONS.map((_, i) => i + 1))
  })

  test('of an older version keeps its contents and gets each missing step once', () => {
    const steps = [
      ...MIGRATIONS,
      { what: 'a table', sql: 'create table jar (name text); insert into jar values (1)' },
    ]
    const store = openSqliteStore(file)
    store.putDocument('settings', 'kept')
    store.close()
    withDatabase(db => migrate(db, file, steps))
    withDatabase(db => migrate(db, file, steps))
    expect(versions()).toEqual(steps.map((_, i) => i + 1))
    withDatabase(db => {
      expect(db.prepare('select count(*) as n from jar').get()?.n).toBe(1)
      expect(db.prepare('select text from document').get()?.text).toBe('kept')
    })
  })

  test('of version 2 keeps the readings that were not packed', () => {
    withDatabase(db => {
      migrate(db, file, MIGRATIONS.slice(0, 2))
      db.exec(`insert into stream (vessel, instrument, quantity) values ('Bucket', 'Probe', 'beer')`)
      db.exec('insert into recent values (1, 1000, 18.06, 0), (1, 2000, null, 2)')
    })
    const store = openSqliteStore(file)
    const stream = { vessel: 'Bucket', instrument: 'Probe', quantity: 'beer' }
    expect(store.readings(stream, 0, 3000)).toEqual([
      { ...stream, at_ms: 1000, value: 18.06, status: 'good' },
      { ...stream, at_ms: 2000, value: Number.NaN, status: 'bad' },
    ])
    store.close()
  })

  test('whose next step fails stays as it was', () => {
    openSqliteStore(file).close()
    const steps = [...MIGRATIONS, { what: 'half', sql: 'create table jar (name text); create table jar (x)' }]
    withDatabase(db => expect(() => migrate(db, file, steps)).toThrow('already exists'))
    expect(versions()).toHaveLength(MIGRATIONS.length)
    withDatabase(db => {
      expect(db.prepare(`select count(*) as n from sqlite_schema where name = 'jar'`).get()?.n).toBe(0)
    })
  })

  test('of a newer version is refused, and left alone', () => {
    openSqliteStore(file).close()
    const next = MIGRATIONS.length + 1
    withDatabase(db => db.prepare(`insert into version values (?, 'from the future')`).run(next))
    expect(() => openSqliteStore(file)).toThrow(
      expect.objectContaining({
        code: 'newer-version',
        message:
          `${file} was written by a newer Attemper: it has version ${next}, and this one knows versions up to ` +
          `${next - 1}. Install the newer Attemper again, or restore a backup made before the change.`,
      }),
    )
    expect(versions()).toHaveLength(next)
  })

  test('of another program is refused', () => {
    withDatabase(db => db.exec('create table bookmarks (title text)'))
    expect(() => openSqliteStore(file)).toThrow('is a database of another program')
  })

  test('that is no database is refused', () => {
    writeFileSync(
      file,
      'a text that is longer than the head of a database, so that it can not be taken for one.'.repeat(9),
    )
    expect(() => openSqliteStore(file)).toThrow(expect.objectContaining({ code: 'corrupt' }))
  })

  test('in a folder that does not exist is refused with the cure', () => {
    expect(() => openSqliteStore(join(folder, 'none', 'cellar.db'))).toThrow(
      expect.objectContaining({ code: 'io', message: expect.stringContaining('Make the folder') }),
    )
  })
})
