import { describe, expect, test } from 'vitest'
import { localSeconds, parseLocalDateTime, parseTimeOfDay } from './local-time.ts'

describe('parseLocalDateTime', () => {
  // RFC 9562, section 6.1, and POSIX: 1970-01-01 is the epoch; 2000-02-29 and 2100-03-01 from the Gregorian rule.
  test.each([
    ['1970-01-01T00:00', 0],
    ['1970-01-02 00:00', 86400],
    ['2000-02-29T12:00', 951825600],
    ['2026-12-01T18:00', 1796148000],
    ['2026-12-01 18:00:30', 1796148030],
    ['2026-12-01', 1796083200],
    ['2100-03-01', 4107542400],
  ])('%s is %d s after the epoch', (text, seconds) => {
    expect(parseLocalDateTime(text)).toEqual({ ok: true, value: { text, local_s: seconds } })
  })

  test('agrees with the calendar of the language over 400 years', () => {
    for (let day = 0; day < 400 * 365; day += 17) {
      const date = new Date(Date.UTC(1900, 0, 1 + day))
      const [year, month, of] = [date.getUTCFullYear(), date.getUTCMonth() + 1, date.getUTCDate()]
      expect(localSeconds(year, month, of, 0, 0, 0)).toBe(date.getTime() / 1000)
    }
  })

  test.each([
    '',
    'tomorrow',
    '2026-13-01T18:00',
    '2026-02-29T18:00',
    '2026-12-01T24:00',
    '2026-12-01T18:60',
    '2026-12-01T18:00Z',
    '2026-12-01T18:00+01:00',
    '1.12.2026',
  ])('refuses “%s”', text => {
    const result = parseLocalDateTime(text)
    expect(result.ok ? undefined : result.problem.code).toBe('bad-date')
  })
})

describe('parseTimeOfDay', () => {
  test.each([
    ['08:00', 28800],
    ['8:30', 30600],
    ['00:00', 0],
    ['24:00', 86400],
    [' 22:30 ', 81000],
  ])('reads %s', (text, seconds) => {
    expect(parseTimeOfDay(text)).toEqual({ ok: true, value: seconds })
  })

  test.each(['', '8', '25:00', '24:01', '08:60', '8 pm', '08:00:00'])('refuses “%s”', text => {
    const result = parseTimeOfDay(text)
    expect(result.ok ? undefined : result.problem.code).toBe('bad-time-of-day')
  })
})
