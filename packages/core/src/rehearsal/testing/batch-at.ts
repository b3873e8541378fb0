import type { EngineState } from '../../engine/contract.ts'
import { drawFor, runSeed } from '../../random/draw.ts'
import { drawPlant, nominalPlant } from '../../world/plant.ts'
import type { Truth } from '../../world/truth.ts'
import { World } from '../../world/world.ts'
import { drive } from '../drive.ts'
import type { Present } from '../from-now.ts'
import { NOMINAL_RUN } from '../run.ts'
import type { Setup } from '../setup.ts'

const HOUR_S = 3600

/** Run `run` of a rehearsal as a batch that is under way: what its instruments show after so many days, and the truth. */
export function batchAt(
  setup: Setup,
  run: number,
  days: number,
): { readonly present: Present; readonly truth: Truth } {
  const { vessel, beer, program, seed, start_s, sample_s } = setup
  const plant = run === NOMINAL_RUN ? nominalPlant(vessel, beer) : drawPlant(vessel, beer, drawFor(seed, run))
  const world = new World({ vessel, beer, plant, faults: [], seed: runSeed(seed, run), start_s })
  const brewer = {
    answersAt_s: (_: unknown, asked_s: number) => asked_s + HOUR_S,
    answer: () => 'yes' as const,
  }
  const recorded: { at_s: number; beer_C: number }[] = []
  const observer = {
    outcome: () => undefined,
    sample: (at_s: number, _: World, state: EngineState) => {
      const beer_C = believed(state, program.beer)
      if (beer_C !== null) recorded.push({ at_s, beer_C })
    },
  }
  const end_s = start_s + days * 24 * HOUR_S
  const options = { start_s, end_s, sample_s, everySecond: false, everySample: true }
  const { state } = drive(program, world, brewer, observer, options)
  const gravity = believed(state, program.gravity)
  const present = { now_s: end_s, state, gravity, beer_C: believed(state, program.beer), recorded }
  return { present, truth: world.truth }
}

function believed(state: EngineState, quantity: number): number | null {
  const channel = state.inCharge[quantity] ?? -1
  return state.channels[channel]?.value ?? null
}
