import { advance } from '../engine/advance.ts'
import type { EngineState, Outcome } from '../engine/contract.ts'
import type { EngineEvent, Question } from '../engine/events.ts'
import { nominalPlant } from '../world/plant.ts'
import { World } from '../world/world.ts'
import { answersAt_s } from './brewer.ts'
import { drive } from './drive.ts'
import { NOMINAL_RUN, simulateRun } from './run.ts'
import type { Setup } from './setup.ts'

/** A running batch at a moment. */
export interface Present {
  readonly now_s: number
  /** As the engine goes on from, under the plan that is rehearsed. */
  readonly state: EngineState
  /** What is believed; null: unknown. */
  readonly gravity: number | null
  readonly beer_C: number | null
}

export interface FromNow {
  readonly events: readonly EngineEvent[]
  readonly state: EngineState
  readonly ended_s: number
}

/** Differences that count alike in the search for the present in the model; judgement (common practice, no source). */
const ALIKE = { gravity_SG: 0.002, beer_C: 2, time_s: 3 * 86_400 } as const
/** The engine is called at least so often: what it heard before now and the model's silences are two stories. */
const LONGEST_STEP_S = 1800

/**
 * How a running batch goes on when everything is as expected: a rehearsal that starts from now. The model is brought to
 * where its nominal run under the plan so far is most like the present (gravity, temperature, time since pitching); the
 * engine goes on from the batch's own state.
 *
 * @param before the batch by the plan so far, with its real start; `after`: by the plan that is to be rehearsed
 */
export function rehearseFromNow(before: Setup, after: Setup, present: Present): FromNow {
  const world = worldLike(before, present)
  const { program } = after
  const { brewer } = after.beer
  const { localOffset_s } = program
  const events: EngineEvent[] = []
  let { state } = present
  let appointments: readonly { readonly question: Question; readonly at_s: number }[] = []
  const appoint = (question: Question, now_s: number) => {
    const at_s = Math.ceil(answersAt_s(brewer, now_s + localOffset_s, null, question.id) - localOffset_s)
    appointments = [...appointments, { question, at_s: Math.max(now_s + 1, at_s) }]
  }
  const call = (now_s: number): Outcome => {
    const due = appointments.filter(({ at_s }) => at_s <= now_s)
    appointments = appointments.filter(({ at_s }) => at_s > now_s)
    const outcome = advance(program, state, {
      now_s,
      readings: [...world.skipped(), ...world.readingsAt(now_s)],
      answers: due.map(({ question }) => ({ question: question.id, answer: 'yes' as const })),
      edits: [],
    })
    state = outcome.state
    world.apply(outcome.commands)
    events.push(...outcome.events)
    for (const event of outcome.events) if (event.kind === 'asked') appoint(event.question, now_s)
    return outcome
  }
  for (const question of state.questions) appoint(question, present.now_s)
  const end_s = present.now_s + after.horizon_s
  let { stands } = call(present.now_s)
  while (world.now_s < end_s && (state.batch === 'running' || state.batch === 'held')) {
    const next_s = Math.min(world.now_s + LONGEST_STEP_S, end_s, ...appointments.map(({ at_s }) => at_s))
    world.seek(stands, next_s)
    ;({ stands } = call(world.now_s))
  }
  return { events, state, ended_s: world.now_s }
}

/** The nominal world at the moment of its run that is most like the present, on the present's clock. */
function worldLike(before: Setup, { now_s, gravity, beer_C }: Present): World {
  const { trace } = simulateRun(before, NOMINAL_RUN)
  const elapsed_s = now_s - before.start_s
  let best = 0
  let leastCost = Number.POSITIVE_INFINITY
  for (let sample = 0; sample < trace.gravity.length; sample++) {
    const cost =
      squared(gravity, trace.gravity[sample]!, ALIKE.gravity_SG) +
      squared(beer_C, trace.beer_C[sample]!, ALIKE.beer_C) +
      squared(elapsed_s, sample * before.sample_s, ALIKE.time_s)
    if (cost < leastCost) {
      leastCost = cost
      best = sample
    }
  }
  const start_s = now_s - best * before.sample_s
  const { vessel, program, seed, sample_s } = before
  const start = { ...before.beer.start, local_s: start_s + program.localOffset_s }
  const beer = { ...before.beer, start }
  const plant = nominalPlant(vessel, beer)
  const world = new World({ vessel, beer, plant, faults: [], seed, start_s })
  const silent = { outcome: () => undefined, sample: () => undefined }
  const always = {
    answersAt_s: (_: Question, asked_s: number) => asked_s + 3600,
    answer: () => 'yes' as const,
  }
  drive(program, world, always, silent, { start_s, end_s: now_s, sample_s, everySecond: false })
  world.advanceTo(now_s)
  return world
}

function squared(wanted: number | null, found: number, alike: number): number {
  return wanted === null ? 0 : ((found - wanted) / alike) ** 2
}
