import { expect, test } from 'vitest'
import { TroubleAlarms } from './trouble-alarms.ts'

test('each appliance is the subject of its own alarm, which ends with the same subject', () => {
  const alarms = new TroubleAlarms()
  // The thermostat's alarm had no subject: it was read out of a sentence, by a pattern that knew heater and cooler only.
  for (const appliance of ['heater', 'cooler', 'thermostat'] as const) {
    const about = { code: 'appliance-unreachable', subject: appliance, batch: 'b1' }
    const lost = alarms.reportOf({
      kind: 'appliance unheard',
      appliance,
      problem: { kind: 'door', said: 'no answer' },
      batch: 'b1',
    })
    expect(lost).toEqual({ ...about, detail: 'no answer' })
    expect(alarms.reportOf({ kind: 'appliance heard', appliance, batch: 'b1' })).toEqual({
      ...about,
      detail: null,
    })
  }
})

test('records are in trouble until the last of them is written again', () => {
  const alarms = new TroubleAlarms()
  const fail = (what: 'readings' | 'alarms') =>
    alarms.reportOf({ kind: 'records failing', what, reason: 'full', batch: null })?.detail
  const mend = (what: 'readings' | 'alarms') =>
    alarms.reportOf({ kind: 'records kept again', what, batch: null })?.detail
  expect([fail('readings'), fail('alarms'), mend('readings'), mend('alarms')]).toEqual([
    'full',
    'full',
    'full',
    null,
  ])
})

test('doors that could not be closed have an alarm that ends', () => {
  const alarms = new TroubleAlarms()
  const about = { code: 'appliance-left', subject: 'Bucket', batch: null }
  const left = alarms.reportOf({ kind: 'doors not closed', vessel: 'Bucket', problem: 'dead', batch: null })
  expect(left).toEqual({ ...about, detail: 'dead' })
  expect(alarms.reportOf({ kind: 'doors closed', vessel: 'Bucket', batch: null })).toEqual({
    ...about,
    detail: null,
  })
})
