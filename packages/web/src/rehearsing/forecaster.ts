import type { FromNow } from '@attemper/core/rehearsal/from-now.ts'
import type { FromNowResult } from '@attemper/core/rehearsal/from-now-result.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import { reduceFromNow } from '@attemper/core/rehearsal/reduce-from-now.ts'
import { NOMINAL_RUN } from '@attemper/core/rehearsal/run.ts'
import { LEAST_RUNS } from '@attemper/core/report/enough-runs.ts'
import type { Crew } from './crew.ts'
import type { Answer, ForecastOrder } from './job.ts'

/** How a running batch may go on, as far as it is known. */
export interface ForecastProgress {
  readonly from: FromNow
  readonly result: FromNowResult
  /** With all its events. */
  readonly nominal: RunRecord
  /** The nominal run of the whole plan, from pitching on: the plan as one line. null: it is not there yet. */
  readonly plan: RunRecord | null
  readonly done: boolean
}

export interface ForecastAudience {
  readonly show: (progress: ForecastProgress) => void
  readonly fail: (why: string) => void
}

/** The first picture is of so many drawn runs: fewer are no ground for a forecast. */
const FIRST_PICTURE = LEAST_RUNS

/**
 * Rehearses running batches from now on, one after the other: a first picture, then one of all runs. The newest counts:
 * whatever is asked for later ends the earlier, of which nothing is heard any more.
 */
export class Forecaster {
  readonly #crew: Crew
  #current: object | null = null

  constructor(crew: Crew) {
    this.#crew = crew
  }

  stop(): void {
    this.#current = null
    this.#crew.stop()
  }

  forecast(order: ForecastOrder, runs: number, { show, fail }: ForecastAudience): void {
    this.#crew.begin(order.after)
    const me = {}
    this.#current = me
    const records: RunRecord[] = []
    let from: FromNow | null = null
    let plan: RunRecord | null = null
    let shown: Omit<ForecastProgress, 'plan'> | null = null

    const fails = (why: string) => {
      if (this.#current !== me) return
      this.#current = null
      fail(why)
    }
    const waiting = {
      take: (answer: Answer) => {
        if (this.#current !== me) return
        if (answer.kind === 'prepared') begin(answer.from)
        else if (answer.kind === 'run') took(answer.record)
      },
      fail: fails,
    }
    const begin = (prepared: FromNow) => {
      from = prepared
      const jobs = Array.from(
        { length: runs + 1 },
        (_, run) => ({ kind: 'run from now', from: prepared, run }) as const,
      )
      this.#crew.add(jobs, waiting)
    }
    const took = (record: RunRecord) => {
      records.push(record)
      const done = records.length > runs
      const nominal = records.find(({ run }) => run === NOMINAL_RUN)
      if (from === null || nominal === undefined) return
      if (done || records.length === FIRST_PICTURE + 1) {
        shown = { from, result: reduceFromNow(from, records), nominal, done }
        show({ ...shown, plan })
      }
    }
    this.#crew.add([{ kind: 'prepare from now', order }], waiting)
    this.#crew.add([{ kind: 'run', run: NOMINAL_RUN }], {
      take: answer => {
        if (this.#current !== me || answer.kind !== 'run') return
        plan = answer.record
        if (shown !== null) show({ ...shown, plan })
      },
      fail: fails,
    })
  }
}
