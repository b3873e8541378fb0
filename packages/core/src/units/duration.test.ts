import { describe, expect, test } from 'vitest'
import { parseDuration } from './duration.ts'

/** Designator form of ISO 8601-1 (also RFC 3339 appendix A); the vectors were made by hand from that grammar. */
describe('durations of ISO 8601', () => {
  test.each([
    ['P1D', 86400],
    ['PT36H', 129600],
    ['PT72H', 259200],
    ['P3DT12H', 302400],
    ['P1W', 604800],
    ['PT0.5S', 0.5],
    ['PT0,5S', 0.5],
    ['PT1M', 60],
    ['P1DT1.5H', 91800],
    ['PT0S', 0],
    ['P14D', 1209600],
  ])('%s is %d s', (text, seconds) => {
    expect(parseDuration(text)).toEqual({ ok: true, value: seconds })
  })

  test.each(['P1M', 'P1Y', 'P3Y6M4DT12H30M5S'])('%s depends on the calendar', text => {
    const result = parseDuration(text)
    expect(result.ok ? undefined : result.problem.code).toBe('calendar-duration')
  })

  test.each(['', 'P', 'PT', 'P1DT', '1D1', 'P1S', 'PT1D', 'P-1D', 'PT1.5H30M', 'p1d ', 'P1DT1H30', 'P1D2W'])(
    '“%s” is none',
    text => {
      expect(parseDuration(text).ok).toBe(false)
    },
  )
})
