import { expect, test } from 'vitest'
import { PaperStore } from '../alarms/testing/paper-store.ts'
import { openAccess } from '../http/access/access.ts'
import { REAL_CLOCK } from '../live/clock.ts'
import type { Store } from '../store/store.ts'
import { mqttAccess } from './mqtt-access.ts'

const HERE = '192.0.2.7'

test('a token opens its own door, a person by role, and nobody else comes in', async () => {
  const access = openAccess(new PaperStore() as unknown as Store, REAL_CLOCK, { host: '0.0.0.0', port: 1050 })
  await access.people.put('anna', 'brewer', 'seven wet barley sacks')
  await access.people.put('bert', 'viewer', 'another good one')
  const token = access.tokens.make('Float', { kind: 'readings', vessel: 'Bucket' })
  const authenticate = mqttAccess(access)
  const float = await authenticate('whatever', token, HERE)
  expect(float?.who).toEqual({ name: 'device Float', kind: 'readings', vessel: 'Bucket' })
  const anna = await authenticate('anna', 'seven wet barley sacks', HERE)
  expect(anna?.who).toEqual({ name: 'anna', kind: 'all' })
  const bert = await authenticate('bert', 'another good one', HERE)
  expect(bert?.who).toEqual({ name: 'bert', kind: 'view' })
  expect([float, anna, bert].map(each => each?.isStillRight())).toEqual([true, true, true])
  expect(await authenticate('anna', 'another good one', HERE)).toBeNull()
  expect(await authenticate('anna', undefined, HERE)).toBeNull()
  expect(await authenticate(undefined, 'seven wet barley sacks', HERE)).toBeNull()
  access.tokens.remove('Float')
  expect(await authenticate('whatever', token, HERE)).toBeNull()

  // Whoever is connected would not be let in any more, and nobody else is touched.
  expect([float, anna, bert].map(each => each?.isStillRight())).toEqual([false, true, true])
  access.people.remove('bert')
  await access.people.put('anna', 'brewer', 'a new one, since the old was seen')
  expect([float, anna, bert].map(each => each?.isStillRight())).toEqual([false, false, false])
})

// The incident: fifty passwords could be tried by MQTT in ten seconds, without a limit and without a record.
test('passwords are limited and written down by MQTT as by HTTP; a device with an old token is no guesser', async () => {
  const audit: string[] = []
  const store = Object.assign(new PaperStore(), {
    appendAudit: ({ who, what }: { who: string; what: string }) => audit.push(`${who} ${what}`),
  })
  const access = openAccess(store as unknown as Store, REAL_CLOCK, { host: '0.0.0.0', port: 1050 })
  await access.people.put('anna', 'brewer', 'seven wet barley sacks')
  const authenticate = mqttAccess(access)
  const guesses = await Promise.all(
    Array.from({ length: 50 }, (_, n) => authenticate('anna', `guess ${n}`, HERE)),
  )
  expect(guesses.every(answer => answer === null)).toBe(true)
  expect(audit.filter(line => line.startsWith('nobody tried a wrong password for “anna”'))).toHaveLength(5)
  expect(audit.filter(line => line.startsWith('nobody has to wait with passwords'))).toHaveLength(1)
  expect(await authenticate('anna', 'seven wet barley sacks', HERE)).toBeNull()
  expect(await authenticate('anna', 'seven wet barley sacks', '192.0.2.9')).not.toBeNull()

  const old = access.tokens.make('Float', { kind: 'readings', vessel: 'Bucket' })
  access.tokens.remove('Float')
  const before = audit.length
  for (let n = 0; n < 20; n++) expect(await authenticate('float', old, '192.0.2.10')).toBeNull()
  expect(audit.length).toBe(before)
  expect(await authenticate('anna', 'seven wet barley sacks', '192.0.2.10')).not.toBeNull()
})
