import { advance } from '../advance.ts'
import type { Edit, EngineState, Outcome } from '../contract.ts'
import type { Answer, EngineEvent } from '../events.ts'
import { initialState } from '../initial.ts'
import type { Program } from '../program.ts'

/** Talks to an engine in a test: tells it readings by name at times, and keeps all that it said. */
export class Conversation {
  state: EngineState
  now_s: number
  last: Outcome | null = null
  readonly events: EngineEvent[] = []
  /** Is shown every outcome, also of the calls in between. */
  onCall: (outcome: Outcome) => void = () => undefined
  readonly start_s: number
  readonly program: Program

  constructor(program: Program, start_s = 1_000_000) {
    this.program = program
    this.state = initialState(program)
    this.start_s = start_s
    this.now_s = start_s
  }

  /** The instruments have been heard before: each says the same as a second ago, and is believed. */
  start(readings: Record<string, number> = {}): Outcome {
    const before = Object.entries(readings).map(([name, value]) => ({
      channel: channelNumber(this.program, name),
      value,
      at_s: this.start_s - 1,
    }))
    this.state = advance(this.program, this.state, {
      now_s: this.start_s - 1,
      readings: before,
      answers: [],
      edits: [],
    }).state
    return this.tell(0, readings, [{ kind: 'start' }])
  }

  /**
   * Lets `after_s` seconds pass, in which the engine is called whenever its answer no longer stands, and then tells it the
   * readings (by 'Instrument.quantity').
   */
  tell(
    after_s: number,
    readings: Record<string, number> = {},
    edits: readonly Edit[] = [],
    yes: Answer | null = null,
  ): Outcome {
    const then_s = this.now_s + after_s
    for (let due_s = this.dueNext(); due_s < then_s; due_s = this.dueNext()) this.call(due_s, {}, [], null)
    return this.call(then_s, readings, edits, yes)
  }

  private dueNext(): number {
    if (this.last === null) return Number.POSITIVE_INFINITY
    const { until_s, silence_s } = this.last.stands
    return this.state.channels.reduce(
      (due_s, { at_s }, number) => (at_s === null ? due_s : Math.min(due_s, at_s + silence_s[number]!)),
      until_s,
    )
  }

  private call(
    now_s: number,
    readings: Record<string, number>,
    edits: readonly Edit[],
    yes: Answer | null,
  ): Outcome {
    this.now_s = now_s
    const answers = yes === null ? [] : this.state.questions.map(({ id }) => ({ question: id, answer: yes }))
    const inputs = {
      now_s: this.now_s,
      readings: Object.entries(readings).map(([name, value]) => ({
        channel: channelNumber(this.program, name),
        value,
        at_s: this.now_s,
      })),
      answers,
      edits,
    }
    this.last = advance(this.program, this.state, inputs)
    this.state = this.last.state
    this.events.push(...this.last.events)
    this.onCall(this.last)
    return this.last
  }

  /** Repeats the same readings every `every_s` for `for_s`. */
  keepTelling(for_s: number, every_s: number, readings: Record<string, number>): Outcome {
    for (let passed_s = every_s; passed_s <= for_s; passed_s += every_s) this.tell(every_s, readings)
    return this.last!
  }

  get stageName(): string {
    return this.program.stages[this.state.stage]!.name
  }

  kinds(): readonly string[] {
    return this.events.map(({ kind }) => kind)
  }
}

function channelNumber(program: Program, name: string): number {
  const [instrument, quantity] = name.split('.')
  const number = program.channels.findIndex(
    channel => channel.instrument === instrument && program.quantities[channel.quantity]!.name === quantity,
  )
  if (number < 0) throw new Error(`no channel ${name}`)
  return number
}
