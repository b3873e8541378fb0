import { expect, test } from 'vitest'
import type { Fault } from '../faults/fault.ts'
import { ale, channel, instrument, START_s } from '../testing/vessels.ts'
import { Outages } from './outages.ts'
import { Schedule } from './schedule.ts'

const DAY_s = 86_400

function schedule(every_s: number, faults: Fault[], given: { byHand?: boolean; perDay?: number } = {}) {
  return new Schedule({
    instrument: instrument('Float', every_s, [channel('beer')], { byHand: given.byHand ?? false }),
    start_s: START_s,
    phase_s: 7,
    outages: new Outages(3, given.perDay ?? 0, 3600, START_s),
    faults,
    brewer: ale().brewer,
    localOffset_s: 3600,
    key: 5,
  })
}

/** Offsets from the start of all reports up to a time. */
function reports(one: Schedule, until_s: number): number[] {
  const times: number[] = []
  while (one.next_s <= START_s + until_s) {
    times.push(one.next_s - START_s)
    one.advancePast(one.next_s)
  }
  return times
}

test('reports at its own phase, every so many seconds', () => {
  expect(reports(schedule(900, []), 3600)).toEqual([7, 907, 1807, 2707])
})

test('silent during a fault, and back on its old rhythm', () => {
  const silent: Fault = {
    kind: 'instrument silent',
    instrument: 'Float',
    from_s: START_s + 907,
    to_s: START_s + 2000,
  }
  expect(reports(schedule(900, [silent]), 3600)).toEqual([7, 2707])
})

test('slow: only every so many intervals', () => {
  const slow: Fault = {
    kind: 'instrument slow',
    instrument: 'Float',
    every_s: 1700,
    from_s: START_s + 1000,
    to_s: START_s + 6000,
  }
  expect(reports(schedule(900, [slow]), 8000)).toEqual([7, 907, 1807, 3607, 5407, 6307, 7207])
})

test('a fault of another instrument changes nothing', () => {
  const other: Fault = {
    kind: 'instrument silent',
    instrument: 'Probe',
    from_s: START_s,
    to_s: START_s + 5000,
  }
  expect(reports(schedule(900, [other]), 3600)).toEqual(reports(schedule(900, []), 3600))
})

test('leaping over many reports lands where single steps do, with the same numbers', () => {
  for (const perDay of [0, 20]) {
    const single = schedule(60, [], { perDay })
    const leaping = schedule(60, [], { perDay })
    for (let t_s = START_s; t_s < START_s + 2 * DAY_s; t_s += 60) single.advancePast(t_s)
    leaping.advancePast(START_s + 2 * DAY_s - 60)
    expect([leaping.next_s, leaping.index, leaping.last_s, leaping.lastIndex]).toEqual([
      single.next_s,
      single.index,
      single.last_s,
      single.lastIndex,
    ])
  }
})

test('outages take their share of the reports: 4 a day of an hour each', () => {
  const days = 300
  const times = reports(schedule(600, [], { perDay: 4 }), days * DAY_s)
  const missing = 1 - times.length / (days * 144)
  // Renewal process: mean outage / (mean distance + mean outage) = 1 / (6 + 1).
  expect(Math.abs(missing - 1 / 7)).toBeLessThan(0.02)
})

test('a brewer reads about as often as meant, and never while asleep', () => {
  const times = reports(schedule(DAY_s / 3, [], { byHand: true }), 60 * DAY_s)
  expect(times.length).toBeGreaterThan(150)
  for (const t_s of times) {
    const hour = ((START_s + t_s + 3600) % DAY_s) / 3600
    expect(hour).toBeGreaterThanOrEqual(7)
    expect(hour).toBeLessThan(23)
  }
})
