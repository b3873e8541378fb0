import type { Edit, EngineState, Outcome } from '../engine/contract.ts'
import type { Answer, EngineEvent, Question } from '../engine/events.ts'
import type { World } from '../world/world.ts'
import { answersAt_s } from './brewer.ts'
import { type Answering, drive, type Observer } from './drive.ts'
import { HarmMeter } from './harm-meter.ts'
import type { RunOptions, RunRecord } from './record.ts'
import type { Setup } from './setup.ts'
import { StageLog } from './stage-log.ts'
import { TraceRecorder } from './trace-recorder.ts'

/** Fermentable matter below this is done, for a brewer who looks at the beer before answering; specific gravity. */
const LOOKS_DONE_SG = 0.003
/** Activity, against the usual peak, below which a brewer sees no fermentation any more. */
const LOOKS_STILL = 0.02

export interface RecordedRun {
  readonly run: number
  readonly world: World
  /** Of the brewer's delays; null: the median brewer. */
  readonly brewerSeed: number | null
  /** A batch that is already under way: as it is at the setup's start. */
  readonly underWay?: EngineState
  /** What is done to it at once. */
  readonly edits?: readonly Edit[]
}

/** Drives one run from the setup's start to its end, and writes down what is kept of it. */
export function recordRun(
  setup: Setup,
  { run, world, brewerSeed, underWay, edits }: RecordedRun,
  options: RunOptions,
): RunRecord {
  const { program, start_s } = setup
  const stages = new StageLog(program, start_s, underWay)
  const harms = new HarmMeter(setup, underWay !== undefined)
  const trace = new TraceRecorder(setup)
  const events: EngineEvent[] | null = options.keepEvents ? [] : null

  const observer: Observer = {
    outcome(_now_s: number, outcome: Outcome): void {
      for (const event of outcome.events) {
        stages.note(event)
        harms.note(event, outcome.state.stage)
        events?.push(event)
      }
    },
    sample(now_s: number, world: World, state: EngineState): void {
      const { truth } = world
      trace.sample(truth, state)
      harms.sample(now_s, truth, state)
    },
  }
  const { state, ended_s } = drive(program, world, usualBrewer(setup, brewerSeed), observer, {
    start_s,
    end_s: start_s + setup.horizon_s,
    sample_s: setup.sample_s,
    everySecond: false,
    ...(underWay === undefined ? {} : { underWay }),
    ...(edits === undefined ? {} : { edits }),
  })
  const { truth } = world
  return {
    run,
    ready_s: state.batch === 'complete' ? ended_s - start_s : null,
    ended_s: ended_s - start_s,
    stages: stages.records,
    harms: harms.finish(ended_s, truth, state),
    finalGravity: truth.gravity_SG,
    highest_C: trace.highest_C,
    lowest_C: trace.lowest_C,
    trace: trace.finish(),
    events,
  }
}

/** Answers after a drawn delay, and looks at the beer before saying yes to something that can not be undone. */
function usualBrewer(setup: Setup, seed: number | null): Answering {
  const { brewer } = setup.beer
  const { localOffset_s } = setup.program
  return {
    answersAt_s: ({ id }, now_s) =>
      Math.ceil(answersAt_s(brewer, now_s + localOffset_s, seed, id) - localOffset_s),
    answer: (question, world, state) => answerFor(question, world, state),
  }
}

function answerFor(question: Question, world: World, state: EngineState): Answer {
  if (question.about !== 'late' && question.about !== 'unknown') return 'yes'
  // Known again: yes lets a batch that was held for it go on in its stage.
  if (question.about === 'unknown' && state.unknownSince_s === null) return 'yes'
  const { gravity_SG, finalGravity_SG, activity } = world.truth
  const isDone = gravity_SG - finalGravity_SG < LOOKS_DONE_SG
  return isDone || activity < LOOKS_STILL ? 'yes' : 'not yet'
}
