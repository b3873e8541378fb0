import type { EngineState } from '../engine/contract.ts'
import type { EngineEvent, StageWhy } from '../engine/events.ts'
import type { Program } from '../engine/program.ts'
import type { StageRecord } from './record.ts'

type Writable<T> = { -readonly [K in keyof T]: T[K] }

/** Follows a run through its stages: when each began, how it ended, and what it asked of the brewer. */
export class StageLog {
  readonly #program: Program
  readonly #start_s: number
  readonly #records: Writable<StageRecord>[] = []

  /** @param underWay the batch is already in a stage, which then is the first one of the log */
  constructor(program: Program, start_s: number, underWay?: EngineState) {
    this.#program = program
    this.#start_s = start_s
    if (underWay === undefined || underWay.batch === 'idle') return
    this.#records.push({
      stage: underWay.stage,
      began_s: underWay.stageSince_s - start_s,
      ended_s: null,
      how: 'never',
      late: underWay.lateAt_s !== null,
      asked: underWay.questions.some(({ about }) => about !== 'task'),
    })
  }

  get records(): readonly StageRecord[] {
    return this.#records
  }

  note(event: EngineEvent): void {
    const present = this.#records.at(-1)
    switch (event.kind) {
      case 'stage': {
        if (present) this.#end(present, event.at_s, wayOf(event.why))
        this.#records.push({
          stage: this.#program.stages.findIndex(({ name }) => name === event.stage),
          began_s: event.at_s - this.#start_s,
          ended_s: null,
          how: 'never',
          late: false,
          asked: false,
        })
        break
      }
      case 'batch':
        if (event.to === 'complete' && present) this.#end(present, event.at_s, wayOf(event.by))
        break
      case 'late':
        if (present) present.late = true
        break
      case 'asked':
        if (present && event.question.about !== 'task') present.asked = true
        break
    }
  }

  #end(record: Writable<StageRecord>, at_s: number, how: StageRecord['how']): void {
    record.ended_s = at_s - this.#start_s
    record.how = how
  }
}

/** An edit is the brewer's decision, as an answer is. */
function wayOf(why: StageWhy | null): StageRecord['how'] {
  return why === null || why === 'start' || why === 'edit' ? 'answer' : why
}
