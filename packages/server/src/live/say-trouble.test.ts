import { expect, test } from 'vitest'
import { sayTrouble } from './say-trouble.ts'
import type { Trouble } from './trouble.ts'

const EACH: readonly Trouble[] = [
  { kind: 'records failing', what: 'journal', reason: 'full', batch: 'b1' },
  { kind: 'records failing', what: 'readings', reason: 'full', batch: null },
  { kind: 'records failing', what: 'alarms', reason: 'full', batch: null },
  { kind: 'records failing', what: 'messages', reason: 'full', batch: null },
  { kind: 'records failing', what: 'end of the batch', reason: 'full', batch: 'b1' },
  { kind: 'records kept again', what: 'journal', batch: 'b1' },
  { kind: 'entries lost', count: 3, reason: 'full', batch: 'b1' },
  { kind: 'appliance unheard', appliance: 'thermostat', problem: { kind: 'silent' }, batch: 'b1' },
  { kind: 'appliance heard', appliance: 'heater', batch: 'b1' },
  { kind: 'doors not closed', vessel: 'Bucket', problem: 'no answer', batch: null },
  { kind: 'doors closed', vessel: 'Bucket', batch: null },
  { kind: 'clock set', clock_s: -3600, times_s: -3600, wasAway: false, batch: 'b1' },
  { kind: 'clock set', clock_s: 7200, times_s: 3600, wasAway: true, batch: 'b1' },
  { kind: 'clock steady', batch: null },
  { kind: 'settled', batch: 'b1' },
  { kind: 'engine failed', reason: 'no number', batch: 'b1' },
  { kind: 'not taken up', why: 'texts', findings: ['plan:1: wrong'], batch: 'b1' },
  { kind: 'not taken up', why: 'no vessel', vessel: 'Bucket', batch: 'b1' },
  { kind: 'not taken up', why: 'vessel busy', vessel: 'Bucket', other: 'b2', batch: 'b1' },
  { kind: 'not taken up', why: 'clash', clash: 'One line for two.', batch: 'b1' },
  { kind: 'not taken up', why: 'fault', reason: 'no number', batch: 'b1' },
  { kind: 'vessel unreadable', vessel: 'Bucket', batch: null },
  { kind: 'listener failed', reason: 'closed', batch: null },
]

test('each trouble is said in whole sentences that name what it is about', () => {
  for (const trouble of EACH) {
    const said = sayTrouble(trouble)
    expect(said).toMatch(/^[A-Zb\d]/)
    expect(said).not.toMatch(/undefined|null|\[object/)
    if ('reason' in trouble && trouble.kind !== 'not taken up') expect(said).toContain(trouble.reason)
    if ('appliance' in trouble) expect(said).toContain(trouble.appliance)
    if ('vessel' in trouble) expect(said).toContain(trouble.vessel)
  }
  expect(new Set(EACH.map(sayTrouble)).size).toBe(EACH.length)
})
