import { expect, test } from 'vitest'
import { faultOfRule, KEEP_EVERYTHING, limitsOf, readRule, sayRule, writeRule } from './rule.ts'

const NOW_MS = Date.UTC(2026, 11, 4)
const DAY_MS = 86_400_000

test('unless somebody has said so, everything is kept', () => {
  expect(readRule({ getDocument: () => null })).toEqual(KEEP_EVERYTHING)
  expect(limitsOf(KEEP_EVERYTHING, NOW_MS)).toMatchObject({
    detailFrom_ms: Number.NEGATIVE_INFINITY,
    minutesFrom_ms: Number.NEGATIVE_INFINITY,
  })
  expect(sayRule(KEEP_EVERYTHING)).toBe('All readings are kept for ever.')
})

test('a rule is kept, counted back from now, and said', () => {
  const kept = new Map<string, string>()
  const documents = {
    getDocument: (name: string) => kept.get(name) ?? null,
    putDocument: (name: string, text: string) => void kept.set(name, text),
  }
  writeRule(documents, { fullDetail_d: 730, byTheMinute_d: 3650 })
  const rule = readRule(documents)
  expect(limitsOf(rule, NOW_MS)).toEqual({
    detailFrom_ms: NOW_MS - 730 * DAY_MS,
    minutesFrom_ms: NOW_MS - 3650 * DAY_MS,
    around_ms: DAY_MS,
  })
  expect(sayRule(rule)).toBe(
    'Outside of batches every single reading is kept for 730 days, a value for each minute for 3650 days and for each hour for ever. What belongs to a batch is kept for ever.',
  )
  expect(sayRule({ fullDetail_d: 90, byTheMinute_d: null })).toContain('each minute for ever')
  expect(sayRule({ fullDetail_d: 90, byTheMinute_d: 90 })).toContain(
    '90 days, a value for each hour for ever',
  )
})

test.each([
  [{ fullDetail_d: 7, byTheMinute_d: null }, /30 to 36500 days/],
  [{ fullDetail_d: 730, byTheMinute_d: 365 }, /at least as long/],
  [{ fullDetail_d: null, byTheMinute_d: 365 }, /at least as long/],
])('%j has a fault', (rule, fault) => {
  expect(faultOfRule(rule)).toMatch(fault)
})

test.each([
  [KEEP_EVERYTHING],
  [{ fullDetail_d: 30, byTheMinute_d: 30 }],
  [{ fullDetail_d: 730, byTheMinute_d: null }],
])('%j has none', rule => {
  expect(faultOfRule(rule)).toBeNull()
})
