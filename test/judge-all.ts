import fc from 'fast-check'
import { expect, test } from 'vitest'

/*
 * Property tests that count. A property may hold of every case only because nothing of what it speaks of ever happened;
 * then it proves nothing. So every judge says how many moments it really judged, and fails at none. `npm test` says
 * which property judged the fewest.
 */

/** Mutation testing runs each test thousands of times, so it draws fewer cases: this share of them. */
const SHARE = Number(process.env.CASES_SHARE ?? 1)

export const cases = (count: number): number => Math.max(1, Math.ceil(count * SHARE))

/** What a judge says of one case: how many moments of it were judged. true: the case itself; false: there was nothing to judge. */
type Judged = number | boolean

interface Trial {
  /** Cases that are drawn. */
  readonly cases: number
  /** Fewer judged moments than this in all cases together fail. */
  readonly least?: number
  readonly timeout_ms?: number
}

declare module 'vitest' {
  interface TaskMeta {
    /** Moments that the property of this test really judged. */
    judged?: number
  }
}

/** A property as a test of its own: draws cases, has each judged, and fails when hardly any moment was. */
export function judgeAll<T extends [unknown, ...unknown[]]>(
  name: string,
  trial: Trial,
  arbitraries: { [K in keyof T]: fc.Arbitrary<T[K]> },
  verdict: (...values: T) => Judged | Promise<Judged>,
): void {
  test(name, { timeout: trial.timeout_ms }, async ({ task }) => {
    let judged = 0
    const property = fc.asyncProperty(fc.tuple(...(arbitraries as fc.Arbitrary<unknown>[])), async values => {
      judged += Number(await verdict(...(values as T)))
    })
    await fc.assert(property, { numRuns: cases(trial.cases) })
    task.meta.judged = judged
    // Of fewer cases than usual the rare moments may be missing.
    if (SHARE >= 1) expect(judged, 'moments that were really judged').toBeGreaterThanOrEqual(trial.least ?? 1)
  })
}
