import { expect, test } from 'vitest'
import { ale } from '../testing/vessels.ts'
import { nextAwake_s } from './waking-hours.ts'

const at = (text: string) => Date.parse(`${text}:00Z`) / 1000
const { brewer } = ale()
const away = { ...brewer, awayAtWeekends: true }

test('asleep from 23:00 to 07:00, over midnight', () => {
  expect(nextAwake_s(brewer, at('2026-12-04T22:59'))).toBe(at('2026-12-04T22:59'))
  expect(nextAwake_s(brewer, at('2026-12-04T23:00'))).toBe(at('2026-12-05T07:00'))
  expect(nextAwake_s(brewer, at('2026-12-05T06:59'))).toBe(at('2026-12-05T07:00'))
  expect(nextAwake_s(brewer, at('2026-12-05T07:00'))).toBe(at('2026-12-05T07:00'))
})

test('away at weekends: from Saturday to Monday morning', () => {
  // 2026-12-05 is a Saturday.
  expect(nextAwake_s(away, at('2026-12-04T12:00'))).toBe(at('2026-12-04T12:00'))
  expect(nextAwake_s(away, at('2026-12-04T23:30'))).toBe(at('2026-12-07T07:00'))
  expect(nextAwake_s(away, at('2026-12-06T12:00'))).toBe(at('2026-12-07T07:00'))
})

test('equal times: never asleep', () => {
  const owl = { ...brewer, asleepFrom_s: 0, asleepTo_s: 0 }
  expect(nextAwake_s(owl, at('2026-12-04T00:00'))).toBe(at('2026-12-04T00:00'))
})
