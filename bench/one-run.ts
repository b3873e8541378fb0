import type { EngineEvent } from '@attemper/core/engine/events.ts'
import { drawFor, runSeed } from '@attemper/core/random/draw.ts'
import { type Answering, drive, type Observer } from '@attemper/core/rehearsal/drive.ts'
import { NOMINAL_RUN } from '@attemper/core/rehearsal/run.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { drawPlant, nominalPlant } from '@attemper/core/world/plant.ts'
import { World } from '@attemper/core/world/world.ts'

export interface Driven {
  readonly world: World
  /** Of the engine. */
  readonly calls: number
  readonly events: readonly EngineEvent[]
}

export interface DrivenOptions {
  /** Call the engine at every second. */
  readonly everySecond?: boolean
  readonly end_s?: number
  /** A world that looks over the shoulder of the run. */
  readonly World?: typeof World
}

/** The plan of the bench asks nothing, so nobody needs to answer. */
const NOBODY: Answering = { answersAt_s: () => Number.POSITIVE_INFINITY, answer: () => 'yes' }

/** One run without the judge and the recorder: engine and world alone. */
export function driveRun(setup: Setup, run: number, options: DrivenOptions = {}): Driven {
  const { vessel, beer, program, start_s, horizon_s, sample_s } = setup
  const plant =
    run === NOMINAL_RUN ? nominalPlant(vessel, beer) : drawPlant(vessel, beer, drawFor(setup.seed, run))
  const WorldOfRun = options.World ?? World
  const world = new WorldOfRun({
    vessel,
    beer,
    plant,
    faults: [],
    seed: runSeed(setup.seed, run),
    start_s,
  })
  const events: EngineEvent[] = []
  let calls = 0
  const observer: Observer = {
    outcome(_now_s, outcome) {
      calls++
      for (const event of outcome.events) events.push(event)
    },
    sample: () => undefined,
  }
  drive(program, world, NOBODY, observer, {
    start_s,
    end_s: options.end_s ?? start_s + horizon_s,
    sample_s,
    everySecond: options.everySecond ?? false,
  })
  return { world, calls, events }
}
