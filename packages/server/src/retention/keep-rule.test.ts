import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import type { AuditEntry, RetentionLimits, Thinned } from '../store/store.ts'
import { keepRule, type RuleKeeping } from './keep-rule.ts'

const HOUR_MS = 3_600_000
let keeping: RuleKeeping

beforeEach(() => vi.useFakeTimers())
afterEach(() => {
  keeping.stop()
  vi.useRealTimers()
})

/** A store that has so many steps to make in each round. */
function open(rounds: readonly (readonly Thinned[])[]) {
  const asked: RetentionLimits[] = []
  const audit: AuditEntry[] = []
  const steps = rounds.flat()
  const faults: unknown[] = []
  const store = {
    getDocument: () => JSON.stringify({ fullDetail_d: 365, byTheMinute_d: null }),
    appendAudit: (entry: AuditEntry) => void audit.push(entry),
    thin: (limits: RetentionLimits) => {
      asked.push(limits)
      const step = steps.shift()
      if (step === undefined) throw new Error('the disk is full')
      return step
    },
  }
  const clock = { now_ms: () => Date.now(), speed: 1 }
  keeping = keepRule({ store, clock, onFault: fault => faults.push(fault), step_ms: 10 })
  return { asked, audit, faults }
}

const some = (readings: number, isMore: boolean): Thinned => ({ readings, minuteHours: 0, isMore })

test('a round goes step by step, then rests for a day; what was removed is in the record of changes', async () => {
  const { asked, audit, faults } = open([
    [some(100, true), some(50, true), some(0, false)],
    [some(0, false)],
    [{ readings: 0, minuteHours: 3, isMore: true }, some(0, false)],
  ])
  await vi.advanceTimersByTimeAsync(9 * 60_000)
  expect(asked).toEqual([])
  await vi.advanceTimersByTimeAsync(2 * 60_000)
  expect(asked).toHaveLength(3)
  expect(asked[0]!.detailFrom_ms).toBeCloseTo(Date.now() - 365 * 24 * HOUR_MS, -6)
  expect(audit).toMatchObject([
    {
      who: 'attemper',
      what: 'removed 150 single readings from outside of batches, as the retention rule says',
    },
  ])
  // A round that finds nothing is not worth a line.
  await vi.advanceTimersByTimeAsync(24 * HOUR_MS)
  expect(asked).toHaveLength(4)
  expect(audit).toHaveLength(1)
  await vi.advanceTimersByTimeAsync(24 * HOUR_MS)
  expect(audit[1]?.what).toContain('the minutes of 3 hours')
  expect(faults).toEqual([])
})

test('a new rule is applied at once; a fault is told, and another day tried again', async () => {
  const { asked, audit, faults } = open([[some(7, true)]])
  keeping.hurry()
  await vi.advanceTimersByTimeAsync(50)
  expect(asked).toHaveLength(2)
  expect(faults).toHaveLength(1)
  expect(audit).toEqual([])
  await vi.advanceTimersByTimeAsync(24 * HOUR_MS)
  expect(asked).toHaveLength(3)
  // What was removed before the fault is told at the latest when the cellar closes.
  keeping.stop()
  expect(audit).toHaveLength(1)
})
