/**
 * The classical fourth-order Runge-Kutta step, in place and without allocation. It knows nothing about yeast, so that the
 * tests can drive published models through the very code that moves the model of a batch.
 */

/** Writes the rates of change of `y` into `dy`; the unit of time is that of the step. */
export type Derivatives<Parameters> = (y: Float64Array, dy: Float64Array, parameters: Parameters) => void

/** Working space for a system of `size` equations. One may serve any number of systems, one after the other. */
export interface Rk4Scratch {
  readonly k1: Float64Array
  readonly k2: Float64Array
  readonly k3: Float64Array
  readonly k4: Float64Array
  readonly trial: Float64Array
}

export function rk4Scratch(size: number): Rk4Scratch {
  return {
    k1: new Float64Array(size),
    k2: new Float64Array(size),
    k3: new Float64Array(size),
    k4: new Float64Array(size),
    trial: new Float64Array(size),
  }
}

/** Moves `y` on by `dt`, with `parameters` held constant during the step. Error per unit of time: of order dt^4. */
export function rk4Step<Parameters>(
  derivatives: Derivatives<Parameters>,
  parameters: Parameters,
  y: Float64Array,
  dt: number,
  scratch: Rk4Scratch,
): void {
  const { k1, k2, k3, k4, trial } = scratch
  const size = y.length
  derivatives(y, k1, parameters)
  for (let i = 0; i < size; i++) trial[i] = y[i]! + 0.5 * dt * k1[i]!
  derivatives(trial, k2, parameters)
  for (let i = 0; i < size; i++) trial[i] = y[i]! + 0.5 * dt * k2[i]!
  derivatives(trial, k3, parameters)
  for (let i = 0; i < size; i++) trial[i] = y[i]! + dt * k3[i]!
  derivatives(trial, k4, parameters)
  for (let i = 0; i < size; i++) y[i] = y[i]! + (dt / 6) * (k1[i]! + 2 * (k2[i]! + k3[i]!) + k4[i]!)
}
