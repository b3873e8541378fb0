import fc from 'fast-check'
import { expect, type TaskMeta, test } from 'vitest'

/*
 * Property tests that count. A property may hold of every case only because nothing of what it speaks of ever happened;
 * then it proves nothing. So every judge says how many moments it really judged, and fails at none. `npm test` says
 * which property judged the fewest.
 */

declare module 'vitest' {
  interface TaskMeta {
    /** Moments that the property of this test really judged. */
    judged?: number
  }
}

/** Mutation testing runs each test thousands of times, so it draws fewer cases: this share of them. */
const SHARE = Number(process.env.CASES_SHARE ?? 1)

export const cases = (count: number): number => Math.max(1, Math.ceil(count * SHARE))

interface Trial {
  /** Cases that are drawn; 100 when left out. */
  readonly cases?: number
  /** Fewer judged moments than this in all cases together fail; 1 when left out. */
  readonly least?: number
  /** Instead of the one that all share. */
  readonly seed?: number
  /** Cases that are judged besides, before all others. */
  readonly examples?: readonly (readonly unknown[])[]
}

/**
 * What a judge says of one case: how many moments of it were judged. Nothing: the case itself was judged; false: there was
 * nothing to judge in it.
 */
// biome-ignore lint/suspicious/noConfusingVoidType: a verdict that always has something to say need not return it.
type Judged = number | boolean | void

type Drawn<T> = { [K in keyof T]: fc.Arbitrary<T[K]> }

export interface Task {
  readonly meta: TaskMeta
}

/** Draws cases and has each judged; fails when hardly any moment was. `task`: that of the test. */
export function judge<T extends [unknown, ...unknown[]]>(
  task: Task,
  trial: Trial,
  drawn: Drawn<T>,
  verdict: (...values: T) => Judged,
): void {
  let judged = 0
  const property = fc.property(tupleOf(drawn), values => {
    judged += countOf(verdict(...values))
  })
  fc.assert(property, settings<T>(trial))
  note(task, trial, judged)
}

/** The same, with judges that have to wait for something. */
export async function judgeInTurn<T extends [unknown, ...unknown[]]>(
  task: Task,
  trial: Trial,
  drawn: Drawn<T>,
  verdict: (...values: T) => Promise<Judged>,
): Promise<void> {
  let judged = 0
  const property = fc.asyncProperty(tupleOf(drawn), async values => {
    judged += countOf(await verdict(...values))
  })
  await fc.assert(property, settings<T>(trial))
  note(task, trial, judged)
}

/** A property as a test of its own. */
export function judgeAll<T extends [unknown, ...unknown[]]>(
  name: string,
  trial: Trial,
  drawn: Drawn<T>,
  verdict: (...values: T) => Judged,
): void {
  test(name, ({ task }) => judge(task, trial, drawn, verdict))
}

const tupleOf = <T extends [unknown, ...unknown[]]>(drawn: Drawn<T>) =>
  fc.tuple(...(drawn as readonly fc.Arbitrary<unknown>[])) as unknown as fc.Arbitrary<T>

function settings<T>({ cases: count = 100, seed, examples = [] }: Trial): fc.Parameters<[T]> {
  return {
    numRuns: cases(count),
    examples: examples.map((values): [T] => [values as T]),
    ...(seed === undefined ? {} : { seed }),
  }
}

const countOf = (judged: Judged): number => (judged === undefined ? 1 : Number(judged))

function note({ meta }: Task, { least = 1 }: Trial, judged: number): void {
  meta.judged = judged
  // Of fewer cases than usual the rare moments may be missing.
  if (SHARE >= 1) expect(judged, 'moments that were really judged').toBeGreaterThanOrEqual(least)
}
