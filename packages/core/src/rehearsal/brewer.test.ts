import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import type { BrewerHabits } from '../beer/beer.ts'
import { answersAt_s, isThere } from './brewer.ts'

const HOUR_S = 3600
const DAY_S = 86_400
/** 2026-12-04 was a Friday (calendar). */
const FRIDAY_S = Date.UTC(2026, 11, 4) / 1000

const HABITS: BrewerHabits = {
  answersWithin_s: 3 * HOUR_S,
  asleepFrom_s: 23 * HOUR_S,
  asleepTo_s: 7 * HOUR_S,
  awayAtWeekends: false,
}

describe('the brewer', () => {
  it('answers after the median time in a nominal run', () => {
    expect(answersAt_s(HABITS, FRIDAY_S + 12 * HOUR_S, null, 1)).toBe(FRIDAY_S + 15 * HOUR_S)
  })

  it('does not answer while asleep: the time that is left counts from the morning', () => {
    expect(answersAt_s(HABITS, FRIDAY_S + 22 * HOUR_S, null, 1)).toBe(FRIDAY_S + DAY_S + 9 * HOUR_S)
  })

  it('is away from Saturday to Sunday if the beer file says so', () => {
    const away = { ...HABITS, awayAtWeekends: true }
    expect(answersAt_s(away, FRIDAY_S + 22 * HOUR_S, null, 1)).toBe(FRIDAY_S + 3 * DAY_S + 9 * HOUR_S)
  })

  it('always answers in the end, when there, and the same for the same seed', ({ task }) => {
    const time = fc.integer({ min: 0, max: DAY_S - 1 })
    judge(
      task,
      {},
      [
        fc.record({
          answersWithin_s: fc.integer({ min: 0, max: DAY_S }),
          asleepFrom_s: time,
          asleepTo_s: time,
          awayAtWeekends: fc.boolean(),
        }),
        fc.integer({ min: 0, max: 4_000_000_000 }),
        fc.integer(),
        fc.integer({ min: 0, max: 50 }),
      ],
      (habits, asked_s, seed, question) => {
        const at_s = answersAt_s(habits, asked_s, seed, question)
        expect(at_s).toBeGreaterThan(asked_s)
        expect(answersAt_s(habits, asked_s, seed, question)).toBe(at_s)
        // A brewer who is hardly ever awake never gets round to it; all others answer while they are there.
        if (isThere(habits, at_s - 1)) expect(at_s - asked_s).toBeLessThan(200 * DAY_S)
      },
    )
  })
})
