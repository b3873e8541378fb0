import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { openSqliteStore } from '../../store/sqlite/open.ts'
import type { SqliteStore } from '../../store/sqlite/sqlite-store.ts'
import { PROGRAM, startTestServer } from '../testing/test-server.ts'

let folder = ''
let store: SqliteStore

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-fetched-'))
  store = openSqliteStore(join(folder, 'cellar.sqlite'))
})

afterEach(() => {
  store.close()
  rmSync(folder, { recursive: true })
})

/** An injected request is only sent once somebody waits for its answer. */
const fetchNow = (app: FastifyInstance) => app.inject('/backup').then(answer => answer)

const copies = () => readdirSync(folder).filter(name => name.startsWith('backup'))

test('a backup is fetched while readings arrive, is whole, and leaves nothing behind', async () => {
  const stream = { vessel: 'Bucket', instrument: 'Probe', quantity: 'beer' }
  const reading = (i: number) => ({ ...stream, at_ms: 1000 * i, value: i / 10, status: 'good' as const })
  await store.addReadings(Array.from({ length: 20_000 }, (_, i) => reading(i)))
  const { app } = await startTestServer({ parts: { store, copyFolder: folder } })
  const fetched = fetchNow(app)
  await store.addReadings([reading(30_000)])
  const answer = await fetched
  expect(answer.statusCode).toBe(200)
  expect(answer.headers).toMatchObject({
    'content-type': 'application/vnd.sqlite3',
    'content-length': String(answer.rawPayload.length),
    'content-disposition': 'attachment; filename="attemper-2026-11-24.backup"',
  })
  expect(copies()).toEqual([])
  writeFileSync(join(folder, 'fetched'), answer.rawPayload)
  const copy = openSqliteStore(join(folder, 'fetched'))
  expect(await copy.verify()).toEqual([])
  expect(copy.readings(stream, 0, 20_000_000)).toHaveLength(20_000)
  copy.close()
  expect(store.audit(1)).toMatchObject([{ who: 'brewer', what: 'fetched a backup of all records' }])
  await expect.poll(async () => (await app.inject('/backup')).statusCode).toBe(200)
})

test('one at a time', async () => {
  const { promise: copied, resolve: finish } = Promise.withResolvers<void>()
  const slow = {
    backup: async (file: string) => {
      await copied
      writeFileSync(file, 'a copy')
    },
    appendAudit: () => undefined,
  } as unknown as SqliteStore
  const { app } = await startTestServer({ parts: { store: slow, copyFolder: folder } })
  const first = fetchNow(app)
  await expect.poll(async () => (await app.inject('/backup')).statusCode).toBe(409)
  finish()
  expect((await first).body).toBe('a copy')
})

test('a disk without room for it is told, and nothing is left of the attempt', async () => {
  const { app } = await startTestServer({ parts: { store, copyFolder: join(folder, 'not-there') } })
  const answer = await app.inject('/backup')
  expect(answer.statusCode).toBe(503)
  expect(answer.json()).toMatchObject({ code: 'storage' })
  expect((await app.inject('/backup')).statusCode).toBe(503)
})

test('it holds hashes of passwords: a viewer can not have it', async () => {
  const { app } = await startTestServer({
    settings: { host: '0.0.0.0', port: 80 },
    passwords: { brewer: 'three hops and a spoon', guest: 'a spoon and three hops' },
    parts: { copyFolder: folder },
  })
  expect((await app.inject('/backup')).statusCode).toBe(401)
  const payload = { name: 'guest', password: 'a spoon and three hops' }
  const { headers } = await app.inject({ method: 'POST', url: '/session', headers: PROGRAM, payload })
  const cookie = String(headers['set-cookie']).split(';', 1)[0]
  expect((await app.inject({ url: '/backup', headers: { cookie } })).statusCode).toBe(403)
})
