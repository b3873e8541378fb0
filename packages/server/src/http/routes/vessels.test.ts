import { expect, test } from 'vitest'
import { CellarError } from '../../live/cellar.ts'
import { StoreError } from '../../store/store-error.ts'
import { BUCKET, PROGRAM, startBatch, startTestServer, VESSEL } from '../testing/test-server.ts'

test('a vessel is added from its file, listed, and removed', async () => {
  const { app } = await startTestServer()
  const put = await app.inject({
    method: 'POST',
    url: '/vessels',
    headers: PROGRAM,
    payload: { text: 'vessel: Cask' },
  })
  expect(put.statusCode).toBe(201)
  expect(put.json()).toEqual({ name: 'Cask', findings: [] })
  expect((await app.inject('/vessels')).json()).toMatchObject([
    { name: VESSEL, text: BUCKET },
    { name: 'Cask' },
  ])
  expect((await app.inject('/vessels/Cask')).json()).toMatchObject({ text: 'vessel: Cask', doors: '' })
  const removed = await app.inject({ method: 'DELETE', url: '/vessels/Cask', headers: PROGRAM })
  expect(removed.json()).toEqual({ done: true })
  expect((await app.inject('/vessels/Cask')).statusCode).toBe(404)
})

test('a name with a slash and letters of any script is one part of the address', async () => {
  const { app } = await startTestServer()
  const name = 'Gärfaß/2 – 発酵'
  await app.inject({
    method: 'POST',
    url: '/vessels',
    headers: PROGRAM,
    payload: { text: `vessel: ${name}` },
  })
  expect((await app.inject(`/vessels/${encodeURIComponent(name)}`)).json()).toMatchObject({ name })
})

test('what has errors is not taken, and what is in use is not touched', async () => {
  const server = await startTestServer()
  const put = (text: string) =>
    server.app.inject({ method: 'POST', url: '/vessels', headers: PROGRAM, payload: { text } })
  expect((await put('nothing')).json()).toMatchObject({ code: 'has-errors' })
  startBatch(server)
  expect((await put(BUCKET)).statusCode).toBe(409)
  const url = `/vessels/${encodeURIComponent(VESSEL)}`
  expect((await server.app.inject({ method: 'DELETE', url, headers: PROGRAM })).statusCode).toBe(409)
})

test('a vessel and its doors are proof-read, and nothing is taken', async () => {
  const { app, cellar } = await startTestServer()
  const check = async (payload: object) =>
    (await app.inject({ method: 'POST', url: '/vessels/check', headers: PROGRAM, payload })).json()
  const before = cellar.vessels()
  expect(await check({ text: BUCKET, doors: 'heater: mqtt' })).toEqual({
    name: VESSEL,
    inText: [],
    inDoors: [],
  })
  expect(
    await check({ text: 'vessel: Cask\nbear: 20 L', doors: 'heater: none\nlisten: { Probe: 5 }' }),
  ).toMatchObject({
    name: null,
    inText: expect.arrayContaining([expect.objectContaining({ severity: 'error', line: 2 })]),
    inDoors: [{ severity: 'error', line: 2 }],
  })
  expect(cellar.vessels()).toEqual(before)
})

test('faults of our own are told to the log, not to whoever asked', async () => {
  const faults: unknown[] = []
  const server = await startTestServer({ parts: { onFault: fault => faults.push(fault) } })
  const id = startBatch(server)
  const look = async (fault: Error) => {
    server.cellar.fault = fault
    return server.app.inject(`/batches/${id}`)
  }
  const fault = new Error('secret path /etc/secret')
  const answer = await look(fault)
  expect(answer.statusCode).toBe(500)
  expect(answer.body).not.toMatch(/secret|at .*\.ts/)
  expect(answer.json()).toMatchObject({ code: 'internal' })
  expect(faults).toEqual([fault])
  expect((await look(new StoreError('disk-full', 'no space in /var/lib'))).json()).toMatchObject({
    code: 'storage',
  })
  expect((await look(new CellarError('storage', 'No room on the disk.'))).statusCode).toBe(503)
  expect(faults.length).toBe(1)
})
