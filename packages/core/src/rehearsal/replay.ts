import { advance } from '../engine/advance.ts'
import type { AnswerInput, EngineState, Outcome, ReadingInput } from '../engine/contract.ts'
import type { EngineEvent, Question } from '../engine/events.ts'
import { initialState } from '../engine/initial.ts'
import { answersAt_s } from './brewer.ts'
import type { Setup } from './setup.ts'

export interface ReplayOptions {
  /** When the batch is started; seconds since 1970-01-01T00:00 UTC. */
  readonly start_s: number
  /** The replay ends here, or when the plan is complete. */
  readonly end_s: number
  /**
   * yes: questions are answered after the brewer's usual time, and with yes, except whether to go on although nobody can
   * tell: a careful brewer says "not yet" to that. never: nobody answers.
   */
  readonly answers: 'yes' | 'never'
}

export interface ReplayResult {
  readonly events: readonly EngineEvent[]
  readonly state: EngineState
  readonly ended_s: number
}

/**
 * The same engine, fed from a record instead of a model: what this plan would have decided, when, and why. What the engine
 * commands has no effect on the record. Bounded by the readings and the times that the engine itself asks to be called at.
 *
 * @param readings in any order; those before the start are told at the start
 */
export function replay(
  setup: Setup,
  readings: readonly ReadingInput[],
  options: ReplayOptions,
): ReplayResult {
  const { program, beer } = setup
  const { start_s, end_s, answers: answering } = options
  const sorted = readings.toSorted((a, b) => a.at_s - b.at_s || a.channel - b.channel)
  const events: EngineEvent[] = []
  let appointments: readonly { readonly question: Question; readonly at_s: number }[] = []
  let state = initialState(program)
  let outcome: Outcome | null = null
  let next = 0
  let now_s = start_s
  while (now_s <= end_s) {
    const due: ReadingInput[] = []
    while (next < sorted.length && sorted[next]!.at_s <= now_s) due.push(sorted[next++]!)
    const answered = appointments.filter(({ at_s }) => at_s <= now_s)
    const isUnknown = state.unknownSince_s !== null
    const answers: AnswerInput[] = answered.map(({ question: { id, about } }) => ({
      question: id,
      answer: about === 'unknown' && isUnknown ? 'not yet' : 'yes',
    }))
    appointments = appointments.filter(({ at_s }) => at_s > now_s)
    const edits = outcome === null ? [{ kind: 'start' as const }] : []
    outcome = advance(program, state, { now_s, readings: due, answers, edits })
    state = outcome.state
    events.push(...outcome.events)
    if (answering === 'yes') {
      for (const event of outcome.events) {
        if (event.kind !== 'asked') continue
        const local_s = now_s + program.localOffset_s
        const at_s = Math.ceil(
          answersAt_s(beer.brewer, local_s, null, event.question.id) - program.localOffset_s,
        )
        appointments = [...appointments, { question: event.question, at_s }]
      }
    }
    if (state.batch === 'complete') break
    const appointment_s = Math.min(Number.POSITIVE_INFINITY, ...appointments.map(({ at_s }) => at_s))
    const reading_s = sorted[next]?.at_s ?? Number.POSITIVE_INFINITY
    const next_s = Math.min(appointment_s, reading_s, dueNext_s(outcome))
    if (!(next_s <= end_s)) break
    now_s = Math.max(now_s + 1, next_s)
  }
  return { events, state, ended_s: Math.min(now_s, end_s) }
}

/** When the engine has to be called again if nothing is heard. */
function dueNext_s({ stands, state }: Outcome): number {
  let due_s = stands.until_s
  state.channels.forEach(({ at_s }, number) => {
    if (at_s !== null) due_s = Math.min(due_s, at_s + stands.silence_s[number]!)
  })
  return due_s
}
