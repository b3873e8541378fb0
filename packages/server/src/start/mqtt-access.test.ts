import { expect, test } from 'vitest'
import { PaperStore } from '../alarms/testing/paper-store.ts'
import { openAccess } from '../http/access/access.ts'
import { REAL_CLOCK } from '../live/clock.ts'
import type { Store } from '../store/store.ts'
import { mqttAccess } from './mqtt-access.ts'

test('a token opens its own door, a person by role, and nobody else comes in', async () => {
  const access = openAccess(new PaperStore() as unknown as Store, REAL_CLOCK, { host: '0.0.0.0', port: 1050 })
  await access.people.put('anna', 'brewer', 'seven wet barley sacks')
  await access.people.put('bert', 'viewer', 'another good one')
  const token = access.tokens.make('Float', { kind: 'readings', vessel: 'Bucket' })
  const authenticate = mqttAccess(access)
  expect(await authenticate('whatever', token)).toEqual({
    name: 'device Float',
    kind: 'readings',
    vessel: 'Bucket',
  })
  expect(await authenticate('anna', 'seven wet barley sacks')).toEqual({ name: 'anna', kind: 'all' })
  expect(await authenticate('bert', 'another good one')).toEqual({ name: 'bert', kind: 'view' })
  expect(await authenticate('anna', 'another good one')).toBeNull()
  expect(await authenticate('anna', undefined)).toBeNull()
  expect(await authenticate(undefined, 'seven wet barley sacks')).toBeNull()
  access.tokens.remove('Float')
  expect(await authenticate('whatever', token)).toBeNull()
})
