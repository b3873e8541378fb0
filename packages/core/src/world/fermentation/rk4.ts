/**
 * The classical fourth-order Runge-Kutta step, in place and without allocation. It knows nothing about yeast, so that the
 * tests can drive published models through the very code that moves the model of a batch.
 */

/** Writes the rates of change of `y` into `dy`; the unit of time is that of the step. */
export type Derivatives<Parameters> = (y: Float64Array, dy: Float64Array, parameters: Parameters) => void

/** Most equations that one system may have. */
export const MOST_EQUATIONS = 8

// Working space, overwritten by every step. Constants of the module, so that the compiler knows their length.
const k1 = new Float64Array(MOST_EQUATIONS)
const k2 = new Float64Array(MOST_EQUATIONS)
const k3 = new Float64Array(MOST_EQUATIONS)
const k4 = new Float64Array(MOST_EQUATIONS)
const trial = new Float64Array(MOST_EQUATIONS)

/**
 * Moves `y` (at most 8 equations) on by `dt`, with `parameters` held constant during the step. Error after a given time:
 * of order dt^4. `derivatives` must not itself integrate anything.
 */
export function rk4Step<Parameters>(
  derivatives: Derivatives<Parameters>,
  parameters: Parameters,
  y: Float64Array,
  dt: number,
): void {
  const size = Math.min(y.length, MOST_EQUATIONS)
  const half = 0.5 * dt
  derivatives(y, k1, parameters)
  for (let i = 0; i < size; i++) trial[i] = y[i]! + half * k1[i]!
  derivatives(trial, k2, parameters)
  for (let i = 0; i < size; i++) trial[i] = y[i]! + half * k2[i]!
  derivatives(trial, k3, parameters)
  for (let i = 0; i < size; i++) trial[i] = y[i]! + dt * k3[i]!
  derivatives(trial, k4, parameters)
  for (let i = 0; i < size; i++) y[i] = y[i]! + (dt / 6) * (k1[i]! + 2 * (k2[i]! + k3[i]!) + k4[i]!)
}
