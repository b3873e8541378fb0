import { drawFor, runSeed } from '../random/draw.ts'
import type { Fault } from '../world/faults/fault.ts'
import { drawPlant, nominalPlant } from '../world/plant.ts'
import { World } from '../world/world.ts'
import { drawWort } from '../world/wort.ts'
import type { RunOptions, RunRecord } from './record.ts'
import { recordRun } from './record-run.ts'
import type { Setup } from './setup.ts'

/** Number of the run in which everything is as expected: no drawn errors, the median brewer. */
export const NOMINAL_RUN = 0

/** Of the draws of one run: those about the wort. */
const WORT = 0x776f7274

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
  const { vessel, start_s } = setup
  const seed = runSeed(setup.seed, run)
  const isNominal = run === NOMINAL_RUN
  // A stream of its own, so that a beer whose original gravity is certain has the same runs as ever.
  const beer = isNominal ? setup.beer : drawWort(setup.beer, drawFor(seed, WORT))
  const plant = isNominal ? nominalPlant(vessel, beer) : drawPlant(vessel, beer, drawFor(setup.seed, run))
  const world = new World({ vessel, beer, plant, faults, seed, start_s })
  return recordRun(setup, { run, world, brewerSeed: isNominal ? null : seed }, options)
}
