import { describe, expect, test } from 'vitest'
import type { RehearsalResult } from '../rehearsal/result.ts'
import { headline, weekdayAndDate } from './headline.ts'
import { rehearsalText } from './rehearsal-text.ts'
import { madeUpRehearsal, quantiles } from './testing/made-up-rehearsal.ts'
import { widthOf } from './text/width.ts'

const start = { text: '2026-12-04T18:00', local_s: Date.UTC(2026, 11, 4, 18) / 1000 }
const units = { temperature: 'C', gravity: 'SG', volume: 'L' } as const
const options = {
  width: 80,
  units,
  start,
  command: 'attemper rehearse x --seed 1',
  heading: (text: string) => text,
}

describe('the sentence', () => {
  test('says when it is ready, how sure that is, and the biggest risk', () => {
    expect(headline(madeUpRehearsal({ drills: [] }), start)).toBe(
      'Probably ready to package after 15 days (90 % of runs between 13 and 19; in 3 % of runs never), ' +
        'on Saturday 19 December 2026; the biggest risk is that the beer is chilled before it has finished ' +
        '(in 12 % of runs).',
    )
  })

  test('names the drills that failed', () => {
    expect(headline(madeUpRehearsal(), start)).toContain('1 of 2 drills failed (Heater relay welded on)')
  })

  test('does not promise what most runs never reach', () => {
    const never = { hours: quantiles(400, null, null, null, null), share: 0.2, nominal_h: null }
    expect(headline(madeUpRehearsal({ ready: never }), start)).toMatch(
      /^Probably never ready to package by itself: only 20 % of runs came to the end within 60 days;/,
    )
    const none = { hours: quantiles(null, null, null, null, null), share: 0, nominal_h: null }
    expect(headline(madeUpRehearsal({ ready: none }), start)).toMatch(
      /^Not ready to package after 60 days in any run/,
    )
  })

  test('does not call a beer ready that has not finished when the plan is over', () => {
    const unfinished = {
      code: 'final-gravity-not-reached',
      message: 'The plan ends before the final gravity is reached.',
      share: 0.9,
      harm: 1,
      extent: quantiles(10, 15, 18, 20, 24),
      unit: 'points',
      stage: null,
      weaklyFounded: false,
      worst: [3],
    } as const
    expect(headline(madeUpRehearsal({ risks: [unfinished], drills: [] }), start)).toMatch(
      /^Not ready to package when the plan is over, after 15 days \(.*\), on Saturday 19 December 2026: in most runs the beer has not finished by then; the biggest risk is /,
    )
    const weak = { ...unfinished, code: 'diacetyl', weaklyFounded: true } as const
    expect(headline(madeUpRehearsal({ risks: [weak], drills: [] }), start)).toMatch(
      /; nothing else went wrong/,
    )
    expect(headline(madeUpRehearsal({ risks: [weak, unfinished], drills: [] }), start)).toMatch(
      /biggest risk is that the beer stops/,
    )
    const seldom = { ...unfinished, share: 0.3 }
    expect(headline(madeUpRehearsal({ risks: [seldom], drills: [] }), start)).toMatch(/^Probably ready to /)
  })

  test('counts a mash in minutes and hours, with the time of day', () => {
    const ready = { hours: quantiles(2.1, 2.2, 2.25, 2.3, 2.5), share: 1, nominal_h: 2.2 }
    expect(headline(madeUpRehearsal({ side: 'hot side', ready, risks: [], drills: [] }), start)).toBe(
      'Probably done after 135 minutes (90 % of runs between 126 and 150), at 20:15 on Friday 4 December 2026; ' +
        'nothing went wrong in any of 200 runs (up to 1.5 % could).',
    )
  })

  // After the first pictures of 200 runs, "nothing went wrong in any run" was said of none, three or fifteen of them.
  test('gives no verdict after too few runs, and says how many there are', () => {
    const few = (runs: number, risks: RehearsalResult['risks']) =>
      headline(madeUpRehearsal({ runs, risks, drills: [] }), start)
    expect(few(15, [])).toBe(
      'Only 15 runs, too few for a verdict: nothing went wrong so far, but in up to 18 % of all runs it could.',
    )
    expect(few(0, [])).toBe(
      'Only 0 runs, too few for a verdict: nothing went wrong so far, but in up to 100 % of all runs it could.',
    )
    const { risks } = madeUpRehearsal()
    expect(few(4, [{ ...risks[0]!, share: 0.75 }])).toMatch(
      /^Only 4 runs, too few for a verdict: so far .* in 3 of them\.$/,
    )
    expect(few(20, [])).toMatch(/nothing went wrong in any of 20 runs \(up to 14 % could\)\.$/)
  })

  // Days of the week as any calendar has them: 1970-01-01 a Thursday, 2000-02-29 a Tuesday, 1969-12-31 a Wednesday.
  test.each([
    [0, 'Thursday 1 January 1970'],
    [Date.UTC(2000, 1, 29) / 1000, 'Tuesday 29 February 2000'],
    [-1, 'Wednesday 31 December 1969'],
  ])('knows its weekdays: %d', (local_s, text) => {
    expect(weekdayAndDate(local_s)).toBe(text)
  })
})

describe('the text of a rehearsal', () => {
  test.each([60, 80, 120])('fits into %d columns', width => {
    for (const line of rehearsalText(madeUpRehearsal(), { ...options, width }).split('\n')) {
      expect(widthOf(line), line).toBeLessThanOrEqual(width)
    }
  })

  test('comes in the order in which a brewer reads', () => {
    const text = rehearsalText(madeUpRehearsal(), options)
    const places = [
      'Probably ready',
      'Beer temperature',
      'Specific gravity',
      'Stages',
      'Risks',
      'Drills',
      '--seed 1',
    ].map(part => text.indexOf(part))
    expect(places).not.toContain(-1)
    expect([...places].sort((one, other) => one - other)).toEqual(places)
  })

  test('says degrees Fahrenheit and Plato when they are wanted', () => {
    const text = rehearsalText(madeUpRehearsal(), {
      ...options,
      units: { temperature: 'F', gravity: 'P', volume: 'L' },
    })
    expect(text).toContain('Beer temperature, °F')
    expect(text).toContain('Apparent extract, °P')
    // 27.8 °C = 82.04 °F.
    expect(text).toContain('82.0')
    expect(text).not.toContain('°C')
  })

  test('survives a rehearsal in which nothing was ever known', () => {
    const time_h = [0]
    const nothing = { p5: [null], p25: [null], p50: [null], p75: [null], p95: [null], nominal: [null] }
    const overTime = {
      time_h,
      beer_C: nothing,
      gravity: nothing,
      target_C: nothing,
      heater_share: nothing,
      cooler_share: nothing,
    }
    const text = rehearsalText(madeUpRehearsal({ overTime, stages: [], risks: [], drills: [] }), options)
    expect(text).toContain('None of 200 runs suffered')
    expect(text).not.toContain('NaN')
  })
})
