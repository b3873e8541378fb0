import { expect, test } from 'vitest'
import { sayClock, sayDay, sayMoment, sayTick } from './moment-words.ts'

const DAY_s = 86_400
/** Friday 4 December 2026, 00:00. */
const FRIDAY = Date.UTC(2026, 11, 4) / 1000

test('both kinds of clock, at noon and at midnight too', () => {
  const at = (hours: number, minutes = 0) => FRIDAY + hours * 3600 + minutes * 60
  expect([0, 9, 12, 23].map(hours => sayClock(at(hours, 5), '24 h'))).toEqual([
    '00:05',
    '09:05',
    '12:05',
    '23:05',
  ])
  expect([0, 9, 12, 23].map(hours => sayClock(at(hours, 5), '12 h'))).toEqual([
    '12:05 am',
    '9:05 am',
    '12:05 pm',
    '11:05 pm',
  ])
})

test('days as one says them', () => {
  const said = (days: number) => sayDay(FRIDAY + days * DAY_s, FRIDAY + 80_000)
  expect([-1, 0, 1, 2, 6, 7].map(said)).toEqual([
    'yesterday',
    'today',
    'tomorrow',
    'on Sunday',
    'on Thursday',
    'on Friday 11 December',
  ])
  expect(sayMoment(FRIDAY + 2 * DAY_s + 3600, FRIDAY + 64_800, '24 h')).toBe('day 3, 01:00')
})

test('ticks: the day at midnight, the time in between, the month when they are weeks apart', () => {
  expect(sayTick(FRIDAY, 6 * 3600, '24 h')).toBe('Fri 4')
  expect(sayTick(FRIDAY + 6 * 3600, 6 * 3600, '24 h')).toBe('06:00')
  expect(sayTick(FRIDAY + 18 * 3600, 6 * 3600, '12 h')).toBe('6 pm')
  expect(sayTick(FRIDAY, 7 * DAY_s, '24 h')).toBe('4 Dec')
})
