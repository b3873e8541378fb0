import { readFileSync } from 'node:fs'
import { tellingOf } from '@attemper/core/batch/telling.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import type { Entry } from '@attemper/server/http/published.ts'
import { expect, test } from 'vitest'
import { logLines } from './log-kinds.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../../../examples/${name}`, import.meta.url), 'utf8')

const HOUR_ms = 3_600_000
const telling = tellingOf(
  {
    planText: example('amber-ale.plan.yaml'),
    vesselText: example('garage-fridge.vessel.yaml'),
    beerText: example('amber-ale.beer.yaml'),
    localOffset_s: 0,
    started_ms: 0,
  },
  USUAL_UNITS,
)!

const entries: readonly Entry[] = [
  { number: 1, at_ms: 0, kind: 'edit', edit: { kind: 'start' }, by: 'brewer' },
  { number: 2, at_ms: HOUR_ms, kind: 'edit', edit: { kind: 'hold' }, by: 'brewer' },
  {
    number: 3,
    at_ms: HOUR_ms,
    kind: 'decision',
    event: { kind: 'batch', at_s: 3600, from: 'running', to: 'held', why: 'the brewer holds it', by: null },
  },
  { number: 4, at_ms: 2 * HOUR_ms, kind: 'edit', edit: { kind: 'resume' }, by: 'brewer' },
  {
    number: 5,
    at_ms: 3 * HOUR_ms,
    kind: 'read by hand',
    instrument: 'Hydrometer',
    gravity: 1.048,
    read_ms: 3 * HOUR_ms,
    by: 'brewer',
  },
  {
    number: 6,
    at_ms: 9 * HOUR_ms,
    kind: 'read by hand',
    instrument: 'Hydrometer',
    gravity: 1.04,
    read_ms: 4 * HOUR_ms,
    by: 'Ada',
  },
  { number: 7, at_ms: 9 * HOUR_ms, kind: 'edit', edit: { kind: 'restarted' }, by: 'attemper' },
]

const told = (only: Parameters<typeof logLines>[2]) =>
  logLines(entries, telling, only).map(({ sentence }) => sentence)

// Narrowed down to what somebody did, the log of a brewer at the machine itself had neither hold nor resume.
test('what somebody did is told when it is asked for, also of whoever has no name of their own', () => {
  expect(told('people')).toEqual([
    'Ada read a gravity of 1.040 off the Hydrometer on day 1, 04:00.',
    'The brewer read a gravity of 1.048 off the Hydrometer.',
    'The brewer let the batch go on.',
    'The brewer held the batch.',
    'The brewer started the batch.',
  ])
})

test('in the whole log a decision stands for what led to it, and a gravity by hand for itself', () => {
  expect(told(null)).toEqual([
    'Ada read a gravity of 1.040 off the Hydrometer on day 1, 04:00.',
    'The brewer read a gravity of 1.048 off the Hydrometer.',
    'The batch is held in its stage (the brewer holds it).',
  ])
})
