import fc from 'fast-check'
import { judgeInTurn, type Task } from '../../../../../test/judge-all.ts'
import type { StoredReading } from '../store.ts'
import { BEER, reading } from './sample-records.ts'

const HOUR = 3_600_000
const SPAN_MS = 60 * HOUR

/** What an instrument may have handed in over some days, in what order, and what is asked about it afterwards. */
export interface History {
  readonly stream: typeof BEER
  /** Readings of each round arrive in one call, then all is sealed that was past at a time. */
  readonly rounds: readonly { readonly readings: readonly StoredReading[]; readonly sealAt_ms: number }[]
  readonly questions: readonly { readonly from_ms: number; readonly to_ms: number; readonly count: number }[]
}

/** Also before 1970, so that nothing rests on times being positive. */
const START_MS = fc.constantFrom(Math.floor(1_790_000_000_000 / HOUR) * HOUR, -20 * HOUR)

const VALUES = fc.oneof(
  fc.integer({ min: -500, max: 3000 }).map(hundredths => hundredths / 100),
  fc.integer({ min: 9900, max: 11_500 }).map(tenths => tenths / 10_000),
  fc.double({ min: -1e6, max: 1e6, noNaN: true }).map(value => value + 0),
)

const STATUS = fc.constantFrom<StoredReading['status']>('good', 'good', 'good', 'uncertain', 'bad')

/** Regular rounds with a jitter, and loose readings anywhere. */
const ROUND = fc.record({
  regular: fc.record({
    from: fc.integer({ min: 0, max: SPAN_MS }),
    every: fc.constantFrom(1000, 10_000, 60_000, 1_800_000),
    count: fc.integer({ min: 0, max: 150 }),
    isOnGrid: fc.boolean(),
  }),
  loose: fc.array(fc.record({ at: fc.integer({ min: 0, max: SPAN_MS }), value: VALUES, status: STATUS }), {
    maxLength: 25,
  }),
  sealAt: fc.integer({ min: 0, max: SPAN_MS + 3 * HOUR }),
})

const NEAR_A_READING = fc.record({ of: fc.nat(), off: fc.constantFrom(-1, 0, 0.5, 1, 700, HOUR) })

/** Ends near readings show best whether one too many or too few is counted. */
const QUESTION = fc.record({
  ends: fc.oneof(
    fc.tuple(NEAR_A_READING, NEAR_A_READING),
    fc.tuple(
      fc.integer({ min: 0, max: 60 }).map(hours => hours * HOUR),
      fc.integer({ min: -HOUR, max: SPAN_MS }),
    ),
  ),
  count: fc.oneof(fc.integer({ min: 1, max: 8 }), fc.integer({ min: 1, max: 200 })),
})

type End = { readonly of: number; readonly off: number } | number

const HISTORY: fc.Arbitrary<History> = fc
  .record({
    start_ms: START_MS,
    rounds: fc.array(ROUND, { minLength: 1, maxLength: 4 }),
    questions: fc.array(QUESTION, { minLength: 1, maxLength: 8 }),
  })
  .map(({ start_ms, rounds, questions }) => ({
    start_ms,
    rounds: rounds.map(({ regular, loose, sealAt }) => ({
      readings: [
        ...Array.from({ length: regular.count }, (_, i) =>
          reading(
            BEER,
            start_ms + regular.from + i * regular.every + (i % 3),
            regular.isOnGrid ? (1800 + (i % 7)) / 100 : 18 + Math.sin(i),
          ),
        ),
        ...loose.map(({ at, value, status }) => reading(BEER, start_ms + at, value, status)),
      ],
      sealAt_ms: start_ms + sealAt,
    })),
    questions,
  }))
  .map(({ start_ms, rounds, questions }) => {
    const times = rounds.flatMap(({ readings }) => readings.map(({ at_ms }) => at_ms))
    const place = (end: End) =>
      typeof end === 'number' ? start_ms + end : (times[end.of % times.length] ?? start_ms) + end.off
    return {
      stream: BEER,
      rounds,
      questions: questions.map(({ ends, count }) => {
        const [one, other] = [place(ends[0]), place(ends[1])]
        return { from_ms: Math.min(one, other), to_ms: Math.max(one, other), count }
      }),
    }
  })

export async function randomHistories(task: Task, check: (history: History) => Promise<void>): Promise<void> {
  await judgeInTurn(task, { cases: 40 }, [HISTORY], check)
}
