import { expect, test } from 'vitest'
import { sayElapsed, timeAxis } from './elapsed.ts'

test.each([
  [0, 'at the start'],
  [0.75, 'after 45 min'],
  [9.5, 'after 9 h 30 min'],
  [68.2, 'after 2 d 20 h'],
  [240, 'after 10 d'],
])('%d h is said as “%s”', (hours, said) => {
  expect(sayElapsed(hours)).toBe(said)
})

test('a long time is told in days, a short one in hours', () => {
  expect(timeAxis(200, 'after pitching')).toMatchObject({ inDays: true, title: 'days after pitching' })
  expect(timeAxis(200, '').tick(48)).toBe('2 d')
  expect(timeAxis(5, '').tick(0.5)).toBe('0.5 h')
})
