import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { HttpProblem } from './errors.ts'
import { readMoment } from './moment.ts'

test.each([
  // The instants of RFC 3339, section 5.8.
  ['1985-04-12T23:20:50.52Z', Date.UTC(1985, 3, 12, 23, 20, 50, 520)],
  ['1996-12-19T16:39:57-08:00', Date.UTC(1996, 11, 20, 0, 39, 57)],
  ['1937-01-01T12:00:27.87+00:20', Date.UTC(1937, 0, 1, 11, 40, 27, 870)],
  ['2026-11-24T21:15+01:00', Date.UTC(2026, 10, 24, 20, 15)],
  ['2026-11-24 20:15z', Date.UTC(2026, 10, 24, 20, 15)],
  // What is left of a plus sign that was not written as %2B.
  ['2026-11-24T21:15 01:00', Date.UTC(2026, 10, 24, 20, 15)],
  ['1764015300000', 1_764_015_300_000],
  ['-1000', -1000],
  ['1829-03-03T07:00Z', Date.UTC(1829, 2, 3, 7)],
])('%s is %i', (text, at_ms) => {
  expect(readMoment(text, 'at')).toBe(at_ms)
})

test.each([
  '2026-11-24T20:15',
  '2026-11-24',
  '2026-13-01T00:00Z',
  '2026-11-24T25:00Z',
  '1e12',
  'now',
  '',
  '99999999999999',
])('“%s” is refused', text => {
  expect(() => readMoment(text, 'from')).toThrow('/from is not a moment')
})

test('whatever is written, it is a moment or a refusal', ({ task }) => {
  const digits = fc.stringMatching(
    /^20[0-9]{2}-[0-1][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9](:[0-6][0-9])?(Z|\+02:00)?$/,
  )
  judge(task, { cases: 200 }, [fc.oneof(fc.string(), digits)], text => {
    try {
      expect(Number.isFinite(readMoment(text, 'at'))).toBe(true)
      return true
    } catch (error) {
      expect(error).toBeInstanceOf(HttpProblem)
      return false
    }
  })
})
