import type { Drill } from '@attemper/core/rehearsal/drills.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { DrillResult, RehearsalResult } from '@attemper/core/rehearsal/result.ts'
import { NOMINAL_RUN } from '@attemper/core/rehearsal/run.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import type { Crew } from './crew.ts'
import type { Answer, Job } from './job.ts'
import type { Hand, ReduceMessage, ReduceReply } from './worker-hand.ts'

export type ReducingHand = Hand<ReduceMessage, ReduceReply>

/** How far a rehearsal has come, and its picture so far. */
export interface Progress {
  readonly setup: Setup
  readonly result: RehearsalResult
  /** The runs of the result, in the order in which they were done. */
  readonly records: readonly RunRecord[]
  readonly wanted: number
  /** null: it is not known yet which drills there are. */
  readonly drills: readonly Drill[] | null
  readonly done: boolean
}

export interface Audience {
  readonly show: (progress: Progress) => void
  readonly fail: (why: string) => void
}

/** After so many runs the picture is drawn anew. Each step is wide enough to change it visibly. */
const PICTURES = [4, 16, 50, 110] as const
/** A slow plan is shown earlier, with whatever there is by then. */
const FIRST_PICTURE_ms = 30

/**
 * Rehearses one case after the other: the nominal run and some more for a first picture, then the rest, then the drills.
 * The newest counts: whatever is asked for later ends the earlier, of which nothing is heard any more.
 */
export class Rehearser {
  readonly #crew: Crew
  readonly #reducer: ReducingHand
  readonly #now_ms: () => number
  readonly #shown = new Set<() => void>()
  #ticket = 0
  #current: Rehearsal | null = null

  constructor(crew: Crew, reducer: ReducingHand, now_ms: () => number) {
    this.#crew = crew
    this.#reducer = reducer
    this.#now_ms = now_ms
    reducer.listen(reply => this.#current?.reduced(reply))
  }

  /** Nothing more is begun for the present case, so that the workers are free when the next one comes. */
  stop(): void {
    this.#current = null
    this.#crew.stop()
    for (const overtaken of this.#shown) overtaken()
    this.#shown.clear()
  }

  rehearse(setup: Setup, runs: number, audience: Audience): void {
    this.stop()
    this.#crew.begin(setup)
    const begun_ms = this.#now_ms()
    const rehearsal: Rehearsal = new Rehearsal(setup, runs, {
      isCurrent: () => this.#current === rehearsal,
      age_ms: () => this.#now_ms() - begun_ms,
      reduce: message => {
        this.#ticket += 1
        this.#reducer.send({ ticket: this.#ticket, ...message })
        return this.#ticket
      },
      add: jobs =>
        this.#crew.add(jobs, {
          take: answer => rehearsal.take(answer),
          fail: why => rehearsal.fail(why),
        }),
      audience,
    })
    this.#current = rehearsal
    rehearsal.begin()
  }

  /**
   * A run or a drill of the present case once more, with all its events, before anything else is done. null: the drill does
   * not apply, or another case began before it was done.
   */
  show(job: Extract<Job, { kind: 'show run' | 'show drill' }>): Promise<RunRecord | null> {
    return new Promise((resolve, reject) => {
      const overtaken = () => resolve(null)
      this.#shown.add(overtaken)
      const settle = (how: () => void) => {
        this.#shown.delete(overtaken)
        how()
      }
      this.#crew.add(
        [job],
        {
          take: answer => settle(() => resolve(answer.kind === 'shown' ? answer.record : null)),
          fail: why => settle(() => reject(new Error(why))),
        },
        'first',
      )
    })
  }
}

interface Surroundings {
  readonly isCurrent: () => boolean
  readonly age_ms: () => number
  readonly reduce: (message: Omit<ReduceMessage, 'ticket'>) => number
  readonly add: (jobs: readonly Job[]) => void
  readonly audience: Audience
}

class Rehearsal {
  readonly #setup: Setup
  readonly #wanted: number
  readonly #around: Surroundings
  readonly #records: RunRecord[] = []
  readonly #verdicts = new Map<string, DrillResult>()
  #drills: readonly Drill[] | null = null
  #result: RehearsalResult | null = null
  /** How many runs the reducer knows, and of which the latest picture is made. */
  #told = 0
  #pictured: readonly RunRecord[] = []
  #ticket: number | null = null
  #failed = false

  constructor(setup: Setup, wanted: number, around: Surroundings) {
    this.#setup = setup
    this.#wanted = wanted
    this.#around = around
  }

  begin(): void {
    const runs = Array.from({ length: this.#wanted + 1 }, (_, run): Job => ({ kind: 'run', run }))
    this.#around.add([...runs, { kind: 'list drills' }])
  }

  take(answer: Answer): void {
    if (answer.kind === 'run') {
      this.#records.push(answer.record)
      this.#drawIfDue()
    } else if (answer.kind === 'drills') {
      this.#drills = answer.drills
      this.#around.add(answer.drills.map(drill => ({ kind: 'drill', drill })))
      this.#show()
    } else if (answer.kind === 'drill') {
      this.#verdicts.set(answer.result.drill, answer.result)
      this.#show()
    }
  }

  fail(why: string): void {
    if (this.#failed) return
    this.#failed = true
    this.#around.audience.fail(why)
  }

  reduced(reply: ReduceReply): void {
    if (reply.ticket !== this.#ticket) return
    this.#ticket = null
    if ('failure' in reply) {
      this.fail(reply.failure)
      return
    }
    this.#result = reply.result
    this.#pictured = this.#records.slice(0, this.#told)
    this.#show()
    this.#drawIfDue()
  }

  #drawIfDue(): void {
    const { length } = this.#records
    if (this.#ticket !== null || length <= this.#told) return
    const isFirst = this.#told === 0
    // Without the nominal run there is no target to draw.
    if (isFirst && !this.#records.some(({ run }) => run === NOMINAL_RUN)) return
    const all = this.#wanted + 1
    const next = [...PICTURES, all].find(count => count > this.#told) ?? all
    const isDue = length >= Math.min(next, all) || (isFirst && this.#around.age_ms() >= FIRST_PICTURE_ms)
    if (!isDue) return
    const news = this.#records.slice(this.#told)
    this.#told = length
    this.#ticket = this.#around.reduce({ records: news, ...(isFirst ? { setup: this.#setup } : {}) })
  }

  #show(): void {
    if (this.#result === null || this.#failed || !this.#around.isCurrent()) return
    const drills = this.#drills
    const verdicts = (drills ?? []).flatMap(({ name }) => this.#verdicts.get(name) ?? [])
    this.#around.audience.show({
      setup: this.#setup,
      result: { ...this.#result, drills: verdicts },
      records: this.#pictured,
      wanted: this.#wanted,
      drills,
      done: this.#pictured.length > this.#wanted && drills !== null && verdicts.length === drills.length,
    })
  }
}
