import { spawnSync } from 'node:child_process'
import { copyFileSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { sealAll } from '../testing/contract.ts'
import { BATCH, BEER, engineState, FLOAT, note, reading } from '../testing/sample-records.ts'
import { openDatabase, openSqliteStore } from './open.ts'
import { SqliteStore } from './sqlite-store.ts'

const HOUR = 3_600_000
const T0 = Math.floor(1_790_000_000_000 / HOUR) * HOUR

let folder = ''
let file = ''

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-faults-'))
  file = join(folder, 'cellar.db')
})

afterEach(() => rmSync(folder, { recursive: true }))

function hourOf(stream: typeof BEER, from_ms: number) {
  return Array.from({ length: 3600 }, (_, i) => reading(stream, from_ms + i * 1000, Math.sin(i)))
}

describe('a full disk', () => {
  test('stores nothing of the group, says so to each caller, and works again when there is space', async () => {
    const db = openDatabase(file)
    const store = new SqliteStore(db, file)
    store.createBatch(BATCH)
    await store.addReadings([reading(BEER, T0, 18)])
    const pages = Number(db.prepare('pragma page_count').get()?.page_count)
    db.exec(`pragma max_page_count = ${pages + 2}`)

    const group = [store.addReadings([reading(FLOAT, T0, 1.05)]), store.addReadings(hourOf(BEER, T0 + 1))]
    for (const added of group) {
      await expect(added).rejects.toMatchObject({
        code: 'disk-full',
        message: expect.stringContaining('Make space on the disk'),
      })
    }
    expect(() => store.appendJournal(BATCH.id, [note(T0, 'x'.repeat(100_000))], engineState(1, 0))).toThrow(
      expect.objectContaining({ code: 'disk-full' }),
    )
    expect(store.readings(BEER, T0, T0 + HOUR)).toEqual([reading(BEER, T0, 18)])
    expect(store.streams()).toEqual([BEER])
    expect(store.journal(BATCH.id)).toEqual([])
    expect(store.latestState(BATCH.id)).toBeNull()

    db.exec('pragma max_page_count = 1000000')
    expect(await store.addReadings([reading(FLOAT, T0, 1.05)])).toEqual({ stored: 1, repeated: 0 })
    expect(await store.addReadings(hourOf(BEER, T0 + 1))).toEqual({ stored: 3600, repeated: 0 })
    expect(store.appendJournal(BATCH.id, [note(T0, 'again')], null)).toBe(1)
    expect(await store.verify()).toEqual([])
    store.close()
  })

  test('while hours are sealed leaves them as they were', async () => {
    const db = openDatabase(file)
    const store = new SqliteStore(db, file)
    const hour = hourOf(BEER, T0)
    await store.addReadings(hour)
    db.exec(`pragma max_page_count = ${Number(db.prepare('pragma page_count').get()?.page_count)}`)
    expect(() => store.seal(T0 + 10 * HOUR)).toThrow(expect.objectContaining({ code: 'disk-full' }))
    expect(store.readings(BEER, T0, T0 + HOUR)).toEqual(hour)
    expect(await store.addReadings(hour.slice(0, 1))).toEqual({ stored: 0, repeated: 1 })
    db.exec('pragma max_page_count = 1000000')
    expect(store.seal(T0 + 10 * HOUR)).toBe(false)
    expect(store.readings(BEER, T0, T0 + HOUR)).toEqual(hour)
    expect(await store.verify()).toEqual([])
    store.close()
  })

  // The system's limit on the size of a file makes real writes fail, as a disk that refuses them would.
  test('a write that the system refuses is told as such, and nothing that was acknowledged is lost', async () => {
    const child = join(import.meta.dirname, '..', 'testing', 'write-until-refused.ts')
    const { stdout, stderr, status } = spawnSync(
      'bash',
      ['-c', `trap '' XFSZ; ulimit -f 400; exec "$0" "$1" "$2"`, process.execPath, child, file],
      { encoding: 'utf8' },
    )
    expect(status, stderr).toBe(0)
    const told = JSON.parse(stdout) as { acknowledged: number; code: string; countAfter: number }
    expect(told.code).toMatch(/^(io|disk-full)$/)
    expect(told.acknowledged).toBeGreaterThan(0)
    expect(told.countAfter).toBe(told.acknowledged)
    const store = openSqliteStore(file)
    expect(store.readings(BEER, T0, T0 + 1000 * HOUR)).toHaveLength(told.acknowledged)
    expect(await store.verify()).toEqual([])
    store.close()
  })
})

describe('a damaged database', () => {
  async function sealedStore(): Promise<void> {
    const store = openSqliteStore(file)
    await store.addReadings([...hourOf(BEER, T0), ...hourOf(BEER, T0 + HOUR), ...hourOf(FLOAT, T0)])
    sealAll(store, T0 + 10 * HOUR)
    store.createBatch(BATCH)
    store.appendJournal(
      BATCH.id,
      ['one', 'two', 'three'].map(text => note(T0, text)),
      null,
    )
    store.close()
  }

  function change(sql: string): void {
    const db = new DatabaseSync(file, { enableForeignKeyConstraints: false })
    expect(db.prepare(sql).run().changes, sql).toBeGreaterThan(0)
    db.close()
  }

  const WHERE = 'garage fridge / probe / temperature, hour from 2026-09-21T14:00:00.000Z: '
  const FIRST = `hour = ${T0 / HOUR} and stream = (select id from stream where quantity = 'temperature')`

  test.each([
    [
      'a block with a wrong byte',
      `update block set data = cast(substr(data, 1, 100) || x'00' || substr(data, 102) as blob) where ${FIRST}`,
      `${WHERE}its block can not be read. Its check sum does not match.`,
    ],
    [
      'a block with another count',
      `update block set count = 3599 where ${FIRST}`,
      `${WHERE}its block holds 3600 readings where 3599 were stored.`,
    ],
    [
      'cells of a minute that are missing',
      `delete from minute_cells where ${FIRST}`,
      `${WHERE}its cells of a minute do not agree with its readings.`,
    ],
    [
      'a cell of an hour that is wrong',
      `update hour_cell set max = max + 1e-9 where ${FIRST}`,
      `${WHERE}its cell of the hour does not agree with its readings.`,
    ],
    [
      'a reading in block and row',
      `insert into recent select id, ${T0}, 1, 0 from stream where quantity = 'temperature'`,
      `${WHERE}1 of its readings are stored twice.`,
    ],
    [
      'a reading of a stream that is not there',
      `insert into recent values (99, ${T0}, 1, 0)`,
      'There are readings of stream 99, which is not there.',
    ],
    [
      'a journal with a hole',
      'delete from journal where number = 2',
      'The journal of batch amber-ale-1 has 2 entries, numbered from 1 to 3: some are missing.',
    ],
    [
      'a journal of a batch that is gone',
      'delete from batch',
      'A row of journal belongs to a batch that is not there.',
    ],
  ])('%s is named', async (_, sql, sentence) => {
    await sealedStore()
    change(sql)
    const store = openSqliteStore(file)
    expect((await store.verify())[0]).toBe(sentence)
    store.close()
  })

  test('a block that can not be read is said where it is asked for, and hinders no other', async () => {
    await sealedStore()
    change(`update block set data = x'0102' where ${FIRST}`)
    const store = openSqliteStore(file)
    expect(() => store.readings(BEER, T0, T0 + HOUR)).toThrow(expect.objectContaining({ code: 'corrupt' }))
    expect(store.readings(BEER, T0 + HOUR, T0 + 2 * HOUR)).toHaveLength(3600)
    expect(store.readings(FLOAT, T0, T0 + HOUR)).toHaveLength(3600)
    const late = [
      reading(BEER, T0 + 500, 18),
      reading(BEER, T0 + HOUR + 500, 18),
      reading(FLOAT, T0 + 500, 1.05),
    ]
    expect(await store.addReadings(late)).toEqual({ stored: 3, repeated: 0 })
    expect(() => sealAll(store, T0 + 10 * HOUR)).toThrow(expect.objectContaining({ code: 'corrupt' }))
    expect(store.readings(FLOAT, T0, T0 + HOUR)).toHaveLength(3601)
    expect(store.readings(BEER, T0 + HOUR, T0 + 2 * HOUR)).toHaveLength(3601)
    expect(await store.verify()).toHaveLength(1)
    store.close()
  })
})

describe('pages that are damaged', () => {
  const ROWS = 300

  /** A store with rows in each table; then the first page of one is overwritten, as by a card that is worn out. */
  async function damagedIn(table: string): Promise<void> {
    const filled = openSqliteStore(file)
    for (let hour = 0; hour < 3; hour++) await filled.addReadings(hourOf(BEER, T0 + hour * HOUR))
    sealAll(filled, T0 + 10 * HOUR)
    filled.createBatch(BATCH)
    const notes = Array.from({ length: ROWS }, (_, i) => note(T0 + i, 'hello '.repeat(20)))
    filled.appendJournal(BATCH.id, notes, engineState(1, 0))
    filled.close()
    const db = new DatabaseSync(file)
    const page = Number(db.prepare('select rootpage from sqlite_schema where name = ?').get(table)?.rootpage)
    const size = Number(db.prepare('pragma page_size').get()?.page_size)
    db.close()
    const bytes = readFileSync(file)
    bytes.fill(0, (page - 1) * size, page * size)
    writeFileSync(file, bytes)
  }

  test.each([
    'journal',
    'latest_state',
    'batch',
    'vessel',
    'document',
    'audit',
    'stream',
    'block',
    'minute_cells',
    'hour_cell',
    'recent',
    'thinned',
  ])('of %s are named by verify', async table => {
    await damagedIn(table)
    const store = openSqliteStore(file)
    expect((await store.verify()).join(' ')).toMatch(`The table ${table} of the database is damaged: `)
    store.close()
  })

  test('that a batch needs keep a store from being used, with the cure; those of old readings are told', async () => {
    await damagedIn('journal')
    const journal = openSqliteStore(file)
    expect(() => journal.quickCheck()).toThrow(
      expect.objectContaining({
        code: 'corrupt',
        message: expect.stringMatching(/table journal of the database is damaged.*attemper restore FILE/s),
      }),
    )
    journal.close()
    rmSync(file)
    await damagedIn('block')
    const block = openSqliteStore(file)
    expect(block.quickCheck()[0]).toMatch(/^The table block of the database is damaged/)
    block.close()
  })

  test('that already hinder opening are said as such', async () => {
    await damagedIn('sqlite_autoindex_stream_1')
    expect(() => openSqliteStore(file)).toThrow(expect.objectContaining({ code: 'corrupt' }))
  })

  test('an entry or a state that is no JSON any more is named', async () => {
    const store = openSqliteStore(file)
    store.createBatch(BATCH)
    store.appendJournal(BATCH.id, [note(T0, 'one'), note(T0, 'two')], engineState(1, 0))
    store.close()
    const db = new DatabaseSync(file)
    db.exec(
      "update journal set entry = substr(entry, 2) where number = 2; update latest_state set state = '{'",
    )
    db.close()
    const again = openSqliteStore(file)
    expect(await again.verify()).toEqual([
      'One entry of the journal of batch amber-ale-1 can not be read, the first of them entry 2.',
      'The state of batch amber-ale-1 can not be read.',
    ])
    again.close()
  })
})

describe('a database whose file is gone while it is open', () => {
  test.each([
    ['removed', () => rmSync(file)],
    [
      'replaced',
      () => {
        copyFileSync(file, `${file}.new`)
        renameSync(`${file}.new`, file)
      },
    ],
    ['removed', () => rmSync(`${file}-wal`)],
  ])(
    'is noticed when it is %s: nothing is acknowledged any more, and a backup saves what was',
    async (_, harm) => {
      const store = openSqliteStore(file)
      store.createBatch(BATCH)
      await store.addReadings([reading(BEER, T0, 18)])
      expect(store.fileProblem()).toBeNull()
      harm()
      expect(store.fileProblem()).toMatch(
        /while the cellar runs.*fetch one, stop the cellar, and restore it/s,
      )
      const gone = expect.objectContaining({ code: 'gone' })
      await expect(store.addReadings([reading(BEER, T0 + 1, 18)])).rejects.toEqual(gone)
      expect(() => store.appendJournal(BATCH.id, [note(T0, 'lost')], null)).toThrow(gone)
      expect(() => store.putDocument('alarms', '{}')).toThrow(gone)
      const saved = join(folder, 'saved.backup')
      await store.backup(saved)
      store.close()
      const again = openSqliteStore(saved)
      expect(again.readings(BEER, 0, T0 + HOUR)).toHaveLength(1)
      expect(again.batches()).toHaveLength(1)
      expect(await again.verify()).toEqual([])
      again.close()
    },
  )

  test('goes on when the very file is put back', async () => {
    const store = openSqliteStore(file)
    store.createBatch(BATCH)
    renameSync(file, `${file}.away`)
    expect(store.fileProblem()).not.toBeNull()
    renameSync(`${file}.away`, file)
    expect(store.fileProblem()).toBeNull()
    expect(await store.addReadings([reading(BEER, T0, 18)])).toEqual({ stored: 1, repeated: 0 })
    store.close()
  })
})

test('a backup never replaces the database itself', async () => {
  const store = openSqliteStore(file)
  await expect(store.backup(join(folder, '.', 'cellar.db'))).rejects.toThrow('is the database itself')
  store.close()
})
