import { advance } from '../engine/advance.ts'
import type { AnswerInput, Edit, EngineState, Outcome, ReadingInput, Stands } from '../engine/contract.ts'
import type { Answer, Question } from '../engine/events.ts'
import { initialState } from '../engine/initial.ts'
import type { Program } from '../engine/program.ts'
import { renew } from '../engine/renew.ts'
import type { World } from '../world/world.ts'

/** Whoever watches a run: is shown every outcome of the engine, and the world at regular times. */
export interface Observer {
  outcome(now_s: number, outcome: Outcome): void
  sample(now_s: number, world: World, state: EngineState): void
}

/** The brewer as part of the world: says when a question will be answered, and then how. */
export interface Answering {
  answersAt_s(question: Question, now_s: number): number
  answer(question: Question, world: World, state: EngineState): Answer
}

export interface DriveOptions {
  readonly start_s: number
  readonly end_s: number
  readonly sample_s: number
  /**
   * Calls the engine at every second instead of only when its answer no longer stands. This is the definition of a run;
   * the jump must decide the same at the same seconds.
   */
  readonly everySecond: boolean
  /** Calls it for each sample too, for an observer who wants the latest readings in the state. */
  readonly everySample?: boolean
  /** A batch that is already under way: as it is at `start_s`. Left out: it starts then. */
  readonly underWay?: EngineState
  /** What is done to the batch that is under way, at `start_s`. */
  readonly edits?: readonly Edit[]
}

interface Appointment {
  readonly question: Question
  readonly at_s: number
}

/**
 * One batch on a simulated clock: the engine that also runs live batches, in a simulated world, until the plan is
 * complete or the time is up. Returns the last state and when it ended. Until then the state that an observer is shown may
 * lack readings on which nothing rests.
 */
export function drive(
  program: Program,
  world: World,
  brewer: Answering,
  observer: Observer,
  options: DriveOptions,
): { readonly state: EngineState; readonly ended_s: number } {
  const { start_s, end_s, sample_s, everySecond, everySample, underWay, edits = NOTHING } = options
  let state = underWay ?? initialState(program)
  let appointments: readonly Appointment[] = state.questions.map(question => ({
    question,
    at_s: brewer.answersAt_s(question, start_s),
  }))
  let stands: Stands | null = null
  let wasDown = false
  /** Readings that the engine heard before the controller went down, but was not called for. */
  let heard: readonly ReadingInput[] = NOTHING
  let backSince_s = underWay === undefined ? Number.NEGATIVE_INFINITY : start_s

  const call = (now_s: number, edits: readonly Edit[]) => {
    let answers: readonly AnswerInput[] = NOTHING
    if (appointments.length > 0) {
      answers = appointments
        .filter(({ at_s }) => at_s <= now_s)
        .map(({ question }) => ({ question: question.id, answer: brewer.answer(question, world, state) }))
      appointments = appointments.filter(({ at_s }) => at_s > now_s)
    }
    const skipped = everySecond ? NOTHING : world.skipped()
    const readings = joined(heard, skipped, world.readingsAt(now_s))
    heard = NOTHING
    const outcome = advance(program, state, { now_s, readings, answers, edits })
    world.apply(outcome.commands)
    ;({ state, stands } = outcome)
    for (const event of outcome.events) {
      if (event.kind !== 'asked') continue
      const { question } = event
      appointments = [...appointments, { question, at_s: brewer.answersAt_s(question, now_s) }]
    }
    observer.outcome(now_s, outcome)
  }

  call(start_s, underWay === undefined ? [{ kind: 'start' }] : edits)
  observer.sample(start_s, world, state)
  let nextSample_s = start_s + sample_s
  while (world.now_s < end_s && state.batch !== 'complete') {
    const wake_s = Math.min(
      nextAppointment_s(appointments, world.now_s),
      missedSilence_s(state, stands!, world.now_s, backSince_s),
    )
    if (everySecond) world.advanceTo(world.now_s + 1)
    else {
      const renewal_s = world.controllerDown ? Number.POSITIVE_INFINITY : stands!.until_s
      world.seek(stands!, Math.min(nextSample_s, end_s, wake_s, renewal_s))
    }
    const { now_s } = world
    const isDown = world.controllerDown
    // The state that is handed out knows the latest readings.
    const wanted_s = everySample ? Math.min(nextSample_s, end_s) : end_s
    if (!isDown) {
      if (wasDown) {
        // The software starts again with what it had written down.
        state = JSON.parse(JSON.stringify(state)) as EngineState
        call(now_s, [{ kind: 'restarted' }])
        backSince_s = now_s
      } else if (everySecond || now_s >= Math.min(wake_s, wanted_s) || !world.stillStands(stands!)) {
        call(now_s, NOTHING)
      } else if (now_s >= stands!.until_s) {
        const outcome = renew(program, state, stands!, now_s)
        world.renew(outcome.commands)
        ;({ state, stands } = outcome)
        observer.outcome(now_s, outcome)
      }
    } else if (!wasDown && !everySecond) {
      heard = world.skipped()
      world.apply(NOTHING)
    }
    wasDown = isDown
    if (now_s >= nextSample_s) {
      observer.sample(now_s, world, state)
      nextSample_s += sample_s
    }
  }
  return { state, ended_s: world.now_s }
}

/** What most calls have to say; the same list each time, so that the many calls of a run leave nothing behind. */
const NOTHING: readonly never[] = []

function joined(
  heard: readonly ReadingInput[],
  skipped: readonly ReadingInput[],
  due: readonly ReadingInput[],
): readonly ReadingInput[] {
  if (heard.length === 0 && skipped.length === 0) return due
  const readings: ReadingInput[] = []
  for (const reading of heard) readings.push(reading)
  for (const reading of skipped) readings.push(reading)
  for (const reading of due) readings.push(reading)
  return readings
}

/** An appointment that fell into a time when the controller was down is kept as soon as it is back. */
function nextAppointment_s(appointments: readonly Appointment[], now_s: number): number {
  let next_s = Number.POSITIVE_INFINITY
  for (const { at_s } of appointments) if (at_s > now_s && at_s < next_s) next_s = at_s
  return next_s
}

/**
 * The world counts silences from the latest report that was sent. While the controller was down it heard none of them, and
 * of those before a batch that is under way the world knows nothing, so for a channel that has not been heard since, the silence counts from what the engine knows.
 */
function missedSilence_s(state: EngineState, stands: Stands, now_s: number, backSince_s: number): number {
  let due_s = Number.POSITIVE_INFINITY
  if (backSince_s === Number.NEGATIVE_INFINITY) return due_s
  state.channels.forEach(({ at_s }, number) => {
    if (at_s === null || at_s >= backSince_s) return
    due_s = Math.min(due_s, Math.max(now_s + 1, at_s + stands.silence_s[number]!))
  })
  return due_s
}
