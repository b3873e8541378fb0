import type { Entry } from '@attemper/server/http/published.ts'
import { expect, test } from 'vitest'
import { runsOf, sharesOf } from './switched.ts'

const switched = (number: number, at_s: number, appliance: 'heater' | 'cooler', on: boolean): Entry => ({
  number,
  at_ms: at_s * 1000,
  kind: 'decision',
  event: { kind: 'switched', at_s, appliance, on, why: 'controller', target_C: 18, beer_C: 17 },
})
const entries = [
  switched(1, 10, 'heater', true),
  switched(2, 20, 'heater', false),
  switched(3, 20, 'cooler', true),
  switched(4, 30, 'heater', true),
]

test('runs of one appliance; the last goes on until now', () => {
  expect(runsOf(entries, 'heater', 45_000)).toEqual([
    { from_ms: 10_000, to_ms: 20_000 },
    { from_ms: 30_000, to_ms: 45_000 },
  ])
  expect(runsOf([], 'heater', 45_000)).toEqual([])
})

test('shares of equal parts; a part that has only begun counts by what has passed of it', () => {
  const runs = runsOf(entries, 'heater', 45_000)
  expect(sharesOf(runs, { from_ms: 0, to_ms: 60_000 }, 3, 45_000)).toEqual([0.5, 0.5, 1])
  expect(sharesOf(runs, { from_ms: 0, to_ms: 80_000 }, 4, 45_000)).toEqual([0.5, 0.5, 1, null])
  expect(sharesOf(runs, { from_ms: 15_000, to_ms: 25_000 }, 2, 45_000)).toEqual([1, 0])
})
