import { advance } from '../advance.ts'
import type { Command, Edit, EngineState, Inputs, Outcome, ReadingInput } from '../contract.ts'
import type { Answer, EngineEvent } from '../events.ts'
import { initialState } from '../initial.ts'
import type { Program } from '../program.ts'

/** What comes to the engine at one second of a story, counted from its start. */
export interface Happening {
  readonly at_s: number
  /** By channel number; `value` not finite: a bad reading. */
  readonly readings?: Readonly<Record<number, number>>
  readonly edits?: readonly Edit[]
  /** Given to all questions that are open. */
  readonly answer?: Answer
}

export interface Told {
  readonly events: readonly EngineEvent[]
  readonly commands: readonly Command[]
  readonly state: EngineState
  readonly calls: number
}

const START_S = 1_800_000_000

/** Tells the engine a story by calling it every second. */
export function tellEverySecond(program: Program, story: readonly Happening[], length_s: number): Told {
  const teller = new Teller(program)
  const happenings = new Map(story.map(each => [each.at_s, each]))
  for (let at_s = 0; at_s <= length_s; at_s++) {
    const { readings, edits, answer } = happenings.get(at_s) ?? {}
    teller.call(START_S + at_s, listed(readings, START_S + at_s), edits, answer)
  }
  return teller
}

/** Tells the same story by calls only when the answer no longer stands, as the contract allows. */
export function tellByJumps(program: Program, story: readonly Happening[], length_s: number): Told {
  const teller = new Teller(program)
  const heard_s: (number | undefined)[] = []
  let kept: readonly ReadingInput[] = []
  const call = (
    now_s: number,
    readings: readonly ReadingInput[],
    edits?: readonly Edit[],
    answer?: Answer,
  ) => {
    teller.call(now_s, [...kept, ...readings], edits, answer)
    kept = []
  }
  const due_s = () => {
    const { until_s, silence_s } = teller.last!.stands
    return heard_s.reduce<number>(
      (due_s, at_s, channel) => (at_s === undefined ? due_s : Math.min(due_s, at_s + silence_s[channel]!)),
      until_s,
    )
  }
  for (const { at_s, readings, edits, answer } of [...story, { at_s: length_s, edits: [] }]) {
    const now_s = START_S + at_s
    for (let next_s = teller.last ? due_s() : now_s; next_s < now_s; next_s = due_s()) call(next_s, [])
    const list = listed(readings, now_s)
    const mustCall = teller.last === null || edits !== undefined || answer !== undefined || now_s >= due_s()
    if (mustCall || list.some(reading => !isWithin(teller.last!, reading))) call(now_s, list, edits, answer)
    else {
      const isLater = ({ channel }: ReadingInput) => list.some(each => each.channel === channel)
      kept = [...kept.filter(each => program.remembers[each.channel] || !isLater(each)), ...list]
    }
    for (const { channel } of list) heard_s[channel] = now_s
  }
  return teller
}

function listed(readings: Happening['readings'], at_s: number): readonly ReadingInput[] {
  return Object.entries(readings ?? {}).map(([channel, value]) => ({ channel: Number(channel), value, at_s }))
}

function isWithin({ stands }: Outcome, { channel, value }: ReadingInput): boolean {
  return value > stands.lower[channel]! && value < stands.upper[channel]!
}

class Teller implements Told {
  readonly program: Program
  readonly events: EngineEvent[] = []
  readonly commands: Command[] = []
  state: EngineState
  last: Outcome | null = null
  calls = 0

  constructor(program: Program) {
    this.program = program
    this.state = initialState(program)
  }

  call(now_s: number, readings: Inputs['readings'], edits: Inputs['edits'] = [], answer?: Answer): void {
    const { questions } = this.state
    const answers = answer === undefined ? [] : questions.map(({ id }) => ({ question: id, answer }))
    this.last = advance(this.program, this.state, { now_s, readings, answers, edits })
    this.state = this.last.state
    this.events.push(...this.last.events)
    this.commands.push(...this.last.commands)
    this.calls++
  }
}
