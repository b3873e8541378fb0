import { expect, test } from 'vitest'
import { USUAL_UNITS } from '../units/display.ts'
import { cellarSentence, type StandingBatch } from './cellar-sentence.ts'
import type { Doubt } from './doubts.ts'

const NOW_MS = Date.UTC(2026, 11, 6, 15)
const batch = (name: string, state: StandingBatch['state']['batch'], ...doubts: readonly Doubt[]) => ({
  batch: { name, localOffset_s: 3600 },
  now_ms: NOW_MS,
  doubts,
  state: { batch: state },
  target_C: 3,
})
const say = (running: readonly StandingBatch[], more = {}) =>
  cellarSentence(3, running, { units: USUAL_UNITS, ...more })

test('all is well is said of the cellar when it is known of each batch', () => {
  expect(say([batch('Ale', 'running')])).toBe('One batch runs in 3 vessels; all is well.')
  expect(say([batch('Ale', 'running')], { asItWas: true })).toBe(
    'One batch runs in 3 vessels; it does not need you.',
  )
  const silent: Doubt = { kind: 'stale', quantity: 'gravity', instrument: 'Float', since_s: null }
  expect(say([batch('Ale', 'running', silent), batch('Lager', 'running')])).toBe(
    '2 batches run in 3 vessels; none of them needs you. Whether all is well with Ale is not known.',
  )
})

test('a held batch and a complete one are in it', () => {
  const held: Doubt = { kind: 'held', by: 'brewer', who: 'Kim', since_s: NOW_MS / 1000 - 7200 }
  expect(say([batch('Ale', 'held', held), batch('Lager', 'complete')])).toBe(
    '2 batches run in 3 vessels; none of them needs you. Ale is held by Kim since 14:00; ' +
      'it goes on when you say so. Lager is complete and kept at 3.0 °C.',
  )
})

test('what needs somebody comes first, and what rings without a batch is said too', () => {
  const limit: Doubt = { kind: 'limit broken', limit: 'highest' }
  expect(say([batch('Ale', 'running', limit), batch('Lager', 'running')])).toBe(
    '2 batches run in 3 vessels; Ale needs you.',
  )
  expect(say([batch('Ale', 'running')], { ringing: 1 })).toBe(
    'One batch runs in 3 vessels; an alarm calls for you.',
  )
  expect(say([], { ringing: 2 })).toBe('No batch is running in 3 vessels; 2 alarms call for you.')
})
