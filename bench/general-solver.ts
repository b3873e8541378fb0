import { createRequire } from 'node:module'
import { advance } from '@attemper/core/engine/advance.ts'
import type { Edit, ReadingInput, Stands } from '@attemper/core/engine/contract.ts'
import type { EngineEvent } from '@attemper/core/engine/events.ts'
import { initialState } from '@attemper/core/engine/initial.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import {
  createFermentation,
  type FermentationParameters,
  stepFermentation,
} from '@attemper/core/world/fermentation/core.ts'
import { finalGravityOf } from '@attemper/core/world/fermenter.ts'
import { INPUTS, NODES } from '@attemper/core/world/heat/network.ts'
import type { StepTable } from '@attemper/core/world/heat/step-table.ts'
import { Stretch } from '@attemper/core/world/heat/stretch.ts'
import {
  BEER,
  COLDEST_C,
  HEATER_W,
  ROOM_C,
  vesselSteps,
  WALL,
  YEAST_W,
} from '@attemper/core/world/heat/vessel-network.ts'
import { nominalPlant, type Plant } from '@attemper/core/world/plant.ts'
import { roomTemperature_C } from '@attemper/core/world/room.ts'
import { fermentationRates } from './fermentation-equations.ts'
import { type HeatEquations, heatEquations } from './heat-equations.ts'

/*
 * The same run by the usual means: the same equations given to an adaptive solver (ODEX after Hairer and Wanner, the package
 * odex), in segments of 60 s; when the probe has left the bounds within which the engine's answer stands, the first second
 * outside is found by bisection. Readings have no noise, which spares this side all of the looking for it.
 */

type Rates = (t_s: number, y: number[]) => number[]
interface Solver {
  relativeTolerance: number
  absoluteTolerance: number
  initialStepSize: number
  solve(rates: Rates, from_s: number, y: readonly number[], to_s: number): { readonly y: number[] }
}
// The package's types do not pass a strict check, so what is used of it is said here.
const { Solver: Odex } = createRequire(import.meta.url)('odex') as {
  readonly Solver: new (equations: number) => Solver
}

const SEGMENT_S = 60
const TOLERANCE = 1e-6
const PROBE = NODES
/** Nodes and the probe; then the five of the fermentation. */
const HEAT_ROWS = NODES + 1
const EXTRACT = HEAT_ROWS + 2
const EQUATIONS = HEAT_ROWS + 5
const PROBE_CHANNEL = 0
const FLOAT_CHANNEL = 1

export interface GeneralRun {
  readonly beer_C: number
  readonly gravity_SG: number
  readonly events: readonly EngineEvent[]
  readonly calls: number
}

/** The nominal run, from the start to `end_s`. */
export function runByGeneralSolver(setup: Setup, end_s: number): GeneralRun {
  const { program, start_s } = setup
  const model = new Model(setup)
  let state = initialState(program)
  let y = model.start()
  let stands: Stands | null = null
  let pending: ReadingInput[] = []
  let nextFloat_s = start_s + model.plant.instruments[FLOAT_CHANNEL]!.phase_s
  const floatEvery_s = setup.vessel.instruments[FLOAT_CHANNEL]!.every_s
  const events: EngineEvent[] = []
  let calls = 0

  const call = (now_s: number, edits: readonly Edit[]) => {
    const probe = { channel: PROBE_CHANNEL, value: y[PROBE]!, at_s: now_s }
    const outcome = advance(program, state, { now_s, readings: [...pending, probe], answers: [], edits })
    ;({ state, stands } = outcome)
    pending = []
    for (const command of outcome.commands) {
      if (command.appliance !== 'thermostat') model[command.appliance] = command.on
    }
    for (const event of outcome.events) events.push(event)
    calls++
  }
  const isOutside = (channel: number, value: number) =>
    !(value > stands!.lower[channel]! && value < stands!.upper[channel]!)

  let now_s = start_s
  call(now_s, [{ kind: 'start' }])
  while (now_s < end_s) {
    const to_s = Math.min(now_s + SEGMENT_S, stands!.until_s, nextFloat_s, end_s)
    let from_s = now_s
    let after = model.solve(y, from_s, to_s)
    now_s = to_s
    if (isOutside(PROBE_CHANNEL, after[PROBE]!)) {
      let inside = y
      while (now_s - from_s > 1) {
        const middle_s = Math.floor((from_s + now_s) / 2)
        const between = model.solve(inside, from_s, middle_s)
        if (isOutside(PROBE_CHANNEL, between[PROBE]!)) {
          now_s = middle_s
          after = between
        } else {
          from_s = middle_s
          inside = between
        }
      }
    }
    y = after
    let isDue = now_s >= stands!.until_s || isOutside(PROBE_CHANNEL, y[PROBE]!)
    if (now_s === nextFloat_s) {
      const value = model.gravity_SG(y)
      pending = [{ channel: FLOAT_CHANNEL, value, at_s: now_s }]
      isDue ||= isOutside(FLOAT_CHANNEL, value)
      nextFloat_s += floatEvery_s
    }
    if (isDue) call(now_s, [])
  }
  return { beer_C: y[BEER]!, gravity_SG: model.gravity_SG(y), events, calls }
}

/** Heat and fermentation of the nominal plant as one system of equations. */
class Model {
  heater = false
  cooler = false
  readonly plant: Plant
  readonly #setup: Setup
  readonly #parameters: FermentationParameters
  readonly #off: HeatEquations
  readonly #on: HeatEquations
  readonly #inputs = new Array<number>(INPUTS).fill(0)

  constructor(setup: Setup) {
    this.#setup = setup
    this.plant = nominalPlant(setup.vessel, setup.beer)
    this.#parameters = this.plant.fermentation!
    this.#off = heatEquations(stepsOf(setup, this.plant, false))
    this.#on = heatEquations(stepsOf(setup, this.plant, true))
    this.#inputs[COLDEST_C] = setup.vessel.cooler!.coldest_C
  }

  start(): number[] {
    const { startsAt_C } = this.plant
    const y = new Array<number>(EQUATIONS).fill(this.#room_C(this.#setup.start_s))
    for (const row of [BEER, WALL, PROBE]) y[row] = startsAt_C
    createFermentation(this.#parameters).y.forEach((value, n) => {
      y[HEAT_ROWS + n] = value
    })
    return y
  }

  solve(y: readonly number[], from_s: number, to_s: number): number[] {
    const inputs = this.#inputs
    const equations = this.cooler ? this.#on : this.#off
    inputs[HEATER_W] = this.heater ? this.plant.heaterPower_W : 0
    return solve(
      (t_s, present) => {
        const rates = new Array<number>(EQUATIONS).fill(0)
        const uptake = fermentationRates(this.#parameters, present[BEER]!, present, HEAT_ROWS, rates)
        inputs[YEAST_W] = ((uptake * this.#parameters.heat_kJ_per_g) / 3.6) * this.plant.volume_L
        inputs[ROOM_C] = this.#room_C(this.#setup.start_s + t_s)
        heatRates(equations, present, inputs, rates)
        return rates
      },
      y,
      from_s - this.#setup.start_s,
      to_s - this.#setup.start_s,
    )
  }

  /** Straight between the original and the final gravity, as extract is eaten: within 1e-4 of the model's own. */
  gravity_SG(y: readonly number[]): number {
    const { originalGravity_SG, fermentable_g_per_L } = this.#parameters
    const left = y[EXTRACT]! / fermentable_g_per_L
    const final_SG = finalGravityOf(this.#parameters)
    return final_SG + (originalGravity_SG - final_SG) * left
  }

  #room_C(t_s: number): number {
    const { vessel, beer, start_s } = this.#setup
    const local_s = t_s + beer.start.local_s - start_s
    return roomTemperature_C(this.plant.roomMean_C, this.plant.roomSwing_K, vessel.room.warmestAt_s, local_s)
  }
}

function solve(rates: Rates, y: readonly number[], from_s: number, to_s: number): number[] {
  const solver = new Odex(EQUATIONS)
  solver.relativeTolerance = TOLERANCE
  solver.absoluteTolerance = TOLERANCE
  solver.initialStepSize = to_s - from_s
  return solver.solve(rates, from_s, y, to_s).y
}

function heatRates(
  equations: HeatEquations,
  y: readonly number[],
  inputs: readonly number[],
  rates: number[],
): void {
  const { factors, rows } = equations
  for (let r = 0; r < HEAT_ROWS; r++) {
    const row = factors[r]!
    let rate = 0
    for (let c = 0; c < HEAT_ROWS; c++) rate += row[c]! * y[c]!
    for (let u = 0; u < INPUTS; u++) rate += row[rows + u]! * inputs[u]!
    rates[r] = rate
  }
}

function stepsOf({ vessel }: Setup, plant: Plant, coolerOn: boolean): StepTable {
  const probe = vessel.instruments[PROBE_CHANNEL]!.channels[0]!
  return vesselSteps(vessel, plant, [{ lag_s: probe.lag_s }], {
    coolerOn,
    doorFactor: 1,
    boiling: false,
    places: ['beer'],
  })
}

/** The same equations? Largest difference after five minutes of chilling (K) and after five days at 19 °C (shares). */
export function checkEquations(setup: Setup): { readonly heat_K: number; readonly fermentation: number } {
  const plant = nominalPlant(setup.vessel, setup.beer)
  return { heat_K: heatDifference_K(setup, plant), fermentation: fermentationDifference(plant) }
}

function heatDifference_K(setup: Setup, plant: Plant): number {
  const table = stepsOf(setup, plant, true)
  const equations = heatEquations(table)
  const stretch = new Stretch(table.rows, 0, table)
  stretch.state.set([20, 19.5, 15, 40, 5, 20])
  stretch.inputs.set([30, 14, 5, -18])
  stretch.restart(table)
  const exact = new Float64Array(table.rows)
  stretch.stateAfter(300, exact)
  const y = new Array<number>(EQUATIONS).fill(0)
  for (let r = 0; r < HEAT_ROWS; r++) y[r] = stretch.state[r]!
  const inputs = [...stretch.inputs]
  const solved = solve(
    (_, present) => {
      const rates = new Array<number>(EQUATIONS).fill(0)
      heatRates(equations, present, inputs, rates)
      return rates
    },
    y,
    0,
    300,
  )
  return Math.max(...solved.slice(0, HEAT_ROWS).map((value, r) => Math.abs(value - exact[r]!)))
}

function fermentationDifference(plant: Plant): number {
  const parameters = plant.fermentation!
  const WARM_C = 19
  const LONG_S = 5 * 86_400
  const fermentation = createFermentation(parameters)
  const start = [...new Array<number>(HEAT_ROWS).fill(WARM_C), ...fermentation.y]
  for (let t_s = 0; t_s < LONG_S; t_s += 300) stepFermentation(fermentation, parameters, WARM_C, 300)
  const solved = solve(
    (_, present) => {
      const rates = new Array<number>(EQUATIONS).fill(0)
      fermentationRates(parameters, WARM_C, present, HEAT_ROWS, rates)
      return rates
    },
    start,
    0,
    LONG_S,
  )
  const scales = [1, 1, parameters.fermentable_g_per_L, parameters.precursorYield_mg_per_L, 1]
  return Math.max(...scales.map((scale, n) => Math.abs(solved[HEAT_ROWS + n]! - fermentation.y[n]!) / scale))
}
