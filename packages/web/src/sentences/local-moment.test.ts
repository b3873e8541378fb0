import { expect, test } from 'vitest'
import { localClock, localDay, localMoment } from './local-moment.ts'

test('a moment is told as the reader’s own clock shows it', () => {
  // A Date made from parts is in the zone of whoever runs this, whichever that is.
  const at_ms = new Date(2026, 10, 25, 14, 5).getTime()
  expect(localMoment(at_ms, {})).toBe('25 November 2026, 14:05')
  expect(localMoment(at_ms, { clock: '12 h' })).toBe('25 November 2026, 2:05 pm')
  expect([localDay(at_ms), localClock(at_ms, { clock: '24 h' })]).toEqual(['25 November 2026', '14:05'])
})
