import { expect, test } from 'vitest'
import { startTestServer } from '../testing/test-server.ts'

// The incident: with a full disk, and with no database at all, the cellar called itself alive, and no watch noticed anything.
test('alive is alive; but whether records are kept is said too, and can be watched by its status', async () => {
  let free_MB = 5000
  const { app, alarms, hand } = await startTestServer({
    parts: { storageProblem: () => (free_MB >= 100 ? null : { kind: 'little room', free_MB }) },
  })
  const look = async () => {
    const [health, records] = [await app.inject('/health'), await app.inject('/health/records')]
    return [health.statusCode, health.json().records, records.statusCode]
  }
  expect(await look()).toEqual([200, 'kept', 200])
  free_MB = 40
  expect(await look()).toEqual([200, 'little room', 200])
  free_MB = 0
  expect(await look()).toEqual([200, 'failing', 503])
  free_MB = 5000
  alarms.report({ code: 'storage-trouble', subject: '' }, 'the file of the records is gone')
  hand.pass(1)
  expect(await look()).toEqual([200, 'failing', 503])
  alarms.report({ code: 'storage-trouble', subject: '' }, null)
  hand.pass(120)
  expect(await look()).toEqual([200, 'kept', 200])
})
