import { readLearned } from '@attemper/core/beer-reading/learned.ts'
import { LEARNED_BATCHES } from '@attemper/core/beer-reading/learned-batches.ts'
import { pool, priorFrom } from '@attemper/core/beer-reading/pool.ts'
import { describe, expect, it } from 'vitest'
import { flatness, flatnessOf, ranksOf, upperTail } from '../../bench/skill/calibration.ts'
import { outcomeOf, ratesOf } from '../../bench/skill/ended.ts'

/*
 * Small versions of what `npm run skill -- --simulated` measures, so that a change which spoils the estimator fails here. The
 * figures of the README come from the command.
 */

/** Some ten seconds of one core, on a machine that may be busy. */
const LONG_ms = 300_000

describe('calibration on its own terms', () => {
  it('knows chi-squared by its printed percentage points', () => {
    expect(upperTail(16.919, 9)).toBeCloseTo(0.05, 4)
    expect(upperTail(21.666, 9)).toBeCloseTo(0.01, 4)
    expect(upperTail(3.841, 1)).toBeCloseTo(0.05, 4)
  })

  it('calls ranks that crowd at an end uneven', () => {
    expect(flatness('crowded', [30, 10, 10, 5, 5, 5, 5, 10, 10, 10]).p).toBeLessThan(0.001)
    expect(flatness('even', [10, 11, 9, 10, 12, 8, 10, 10, 9, 11]).p).toBeGreaterThan(0.9)
  })

  it(
    'ranks true curves evenly among those of the posterior (chi-squared, p above 0.001)',
    () => {
      const prior = priorFrom(pool(readLearned(LEARNED_BATCHES)))
      const ranks = Array.from({ length: 100 }, (_, replicate) => ranksOf(prior, 11, replicate))
      const flat = flatnessOf(ranks)
      expect(flat.length).toBe(5)
      for (const { quantity, p } of flat) expect(p, quantity).toBeGreaterThan(0.001)
    },
    LONG_ms,
  )
})

describe('the end of a batch', () => {
  it(
    "is told earlier than by 'unchanged for 48 h', and seldom wrongly",
    () => {
      const outcomes = Array.from({ length: 12 }, (_, number) => outcomeOf(200 + number, 5))
      const { estimator, unchanged48h } = ratesOf(outcomes)
      expect(estimator.batches).toBe(12)
      expect(estimator.stuck_batches).toBeGreaterThan(1)
      expect(estimator.too_early + estimator.wrong_kind + estimator.missed).toBeLessThanOrEqual(2 / 12)
      expect(estimator.delay_h).toBeLessThan(unchanged48h.delay_h - 12)
    },
    LONG_ms,
  )
})
