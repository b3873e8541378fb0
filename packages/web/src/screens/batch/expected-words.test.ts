import type { ExpectedTransition, FromNowResult } from '@attemper/core/rehearsal/from-now-result.ts'
import type { Quantiles } from '@attemper/core/rehearsal/result.ts'
import { expect, test } from 'vitest'
import { expectedLines, forecastSentence } from './expected-words.ts'

/** Friday 4 December 2026, 12:00. */
const NOON = Date.UTC(2026, 11, 4, 12) / 1000
const hours = (p5: number | null, p50: number | null, p95: number | null): Quantiles => ({
  p5,
  p25: p50,
  p50,
  p75: p50,
  p95,
})
const transition = (to: string | null, about: Quantiles, share = 1): ExpectedTransition => ({
  from: 'Primary',
  to,
  occurrence: 1,
  hours: about,
  share,
  nominal_h: about.p50,
})
const result = (part: Partial<FromNowResult>) => ({ overTime: { time_h: [0, 1] }, ...part }) as FromNowResult

test('transitions with their time where it is near, with their day where it is not', () => {
  const transitions = [
    transition('Rest', hours(4, 8, 14)),
    transition('Crash', hours(60, 90, 120), 0.7),
    transition(null, hours(null, 200, null)),
    transition('Rescue', hours(1, 2, 3), 0.02),
  ]
  expect(expectedLines(result({ transitions }), NOON, '24 h')).toEqual([
    {
      what: 'Rest begins',
      when: 'today, about 20:00',
      between: 'between 16:00 today and 02:00 tomorrow',
      share: null,
    },
    {
      what: 'Crash begins',
      when: 'on Tuesday',
      between: 'between 00:00 on Monday and 12:00 on Wednesday',
      share: 'in 70 % of the runs',
    },
    { what: 'The plan is complete', when: 'on Saturday 12 December', between: null, share: null },
  ])
})

test('the end in one sentence', () => {
  const say = (about: Quantiles, share: number) =>
    forecastSentence(result({ ready: { hours: about, share, nominal_h: about.p50 } }), NOON)
  expect(say(hours(60, 90, 120), 1)).toBe(
    'The plan is probably complete on Tuesday; nine chances in ten: from Monday to Wednesday.',
  )
  expect(say(hours(61, 62, 63), 1)).toBe('The plan is probably complete on Monday.')
  expect(say(hours(null, null, null), 0)).toBe('In no run does it come to the end of its plan by itself.')
})

test('of a batch that is held, the sentence begins with what it assumes', () => {
  const ready = { hours: hours(20, 22, 23), share: 1, nominal_h: 22 }
  const known = { ready, assumes: 'resumed now' } as const
  expect(forecastSentence(result(known), NOON)).toBe(
    'If it is resumed now: the plan is probably complete tomorrow.',
  )
  expect(forecastSentence(result({ ...known, assumes: null }), NOON)).toBe(
    'The plan is probably complete tomorrow.',
  )
})
