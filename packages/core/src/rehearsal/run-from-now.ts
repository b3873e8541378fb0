import type { Command, Edit, EngineState } from '../engine/contract.ts'
import { runSeed } from '../random/draw.ts'
import { World } from '../world/world.ts'
import { bringToPresent } from './bring-to-present.ts'
import type { Assumption, FromNow } from './from-now.ts'
import type { RunOptions, RunRecord } from './record.ts'
import { recordRun } from './record-run.ts'
import { NOMINAL_RUN } from './run.ts'

/** What is done to the batch at the beginning of each run. */
const EDITS: Readonly<Record<Assumption | 'nothing', readonly Edit[]>> = {
  'resumed now': [{ kind: 'resume' }],
  nothing: [],
}

const SWITCHED = ['heater', 'cooler'] as const

/**
 * One way in which a running batch may go on: a world brought to the present, and the engine with the batch's own state.
 * Run 0 is the nominal one. Depends on what was prepared and on the run's number alone; times count from now, so the
 * stage that the batch is in began before 0. A batch that has ended, or was not started, stays as it is.
 */
export function simulateFromNow(from: FromNow, run: number, options: RunOptions = {}): RunRecord {
  const { setup, present } = from
  const { state } = present
  const { vessel, beer, start_s } = setup
  const seed = runSeed(setup.seed, run)
  const { plant, underWay } = bringToPresent(from, run)
  const world = new World({ vessel, beer, plant, faults: [], seed, start_s, underWay })
  world.apply(leasesOf(state, start_s))
  const isAlive = state.batch === 'running' || state.batch === 'held'
  const rest = isAlive ? setup : { ...setup, horizon_s: 0 }
  const brewerSeed = run === NOMINAL_RUN ? null : seed
  return recordRun(
    rest,
    { run, world, brewerSeed, underWay: state, edits: EDITS[from.assumes ?? 'nothing'] },
    options,
  )
}

/** What the appliances have been told and still obey. */
function leasesOf(state: EngineState, now_s: number): readonly Command[] {
  const { fence } = state
  const commands: Command[] = []
  for (const appliance of SWITCHED) {
    const { on, leaseUntil_s } = state[appliance]
    if (on && leaseUntil_s !== null) commands.push({ appliance, on, until_s: leaseUntil_s, fence })
  }
  // A state that was kept by an older version has none.
  const { set_C: target_C, leaseUntil_s } = state.thermostat ?? { set_C: null, leaseUntil_s: null }
  if (target_C !== null && leaseUntil_s !== null) {
    commands.push({ appliance: 'thermostat', target_C, until_s: leaseUntil_s, fence })
  }
  return commands.filter(({ until_s }) => until_s > now_s)
}
