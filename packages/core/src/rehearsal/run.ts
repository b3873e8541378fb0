import type { EngineState, Outcome } from '../engine/contract.ts'
import type { Answer, EngineEvent, Question } from '../engine/events.ts'
import { drawFor, runSeed } from '../random/draw.ts'
import type { Fault } from '../world/faults/fault.ts'
import { drawPlant, nominalPlant } from '../world/plant.ts'
import { World } from '../world/world.ts'
import { answersAt_s } from './brewer.ts'
import { type Answering, drive, type Observer } from './drive.ts'
import { HarmMeter } from './harm-meter.ts'
import type { RunOptions, RunRecord } from './record.ts'
import type { Setup } from './setup.ts'
import { StageLog } from './stage-log.ts'
import { TraceRecorder } from './trace-recorder.ts'

/** Number of the run in which everything is as expected: no drawn errors, the median brewer. */
export const NOMINAL_RUN = 0

/** Fermentable matter below this is done, for a brewer who looks at the beer before answering; specific gravity. */
const LOOKS_DONE_SG = 0.003
/** Activity, against the usual peak, below which a brewer sees no fermentation any more. */
const LOOKS_STILL = 0.02

/**
 * One simulated run of a plan: run 0 is the nominal one, the others draw the vessel, the yeast, the instruments and the
 * brewer from their uncertainties. Depends on the setup, the run's number and the faults alone.
 */
export function simulateRun(
  setup: Setup,
  run: number,
  faults: readonly Fault[] = [],
  options: RunOptions = {},
): RunRecord {
  const { vessel, beer, program, start_s } = setup
  const seed = runSeed(setup.seed, run)
  const plant =
    run === NOMINAL_RUN ? nominalPlant(vessel, beer) : drawPlant(vessel, beer, drawFor(setup.seed, run))
  const world = new World({ vessel, beer, plant, faults, seed, start_s })
  const stages = new StageLog(program, start_s)
  const harms = new HarmMeter(setup)
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
  const { state, ended_s } = drive(program, world, usualBrewer(setup, run, seed), observer, {
    start_s,
    end_s: start_s + setup.horizon_s,
    sample_s: setup.sample_s,
    everySecond: false,
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
function usualBrewer(setup: Setup, run: number, seed: number): Answering {
  const { brewer } = setup.beer
  const { localOffset_s } = setup.program
  const drawn = run === NOMINAL_RUN ? null : seed
  return {
    answersAt_s: ({ id }, now_s) =>
      Math.ceil(answersAt_s(brewer, now_s + localOffset_s, drawn, id) - localOffset_s),
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
