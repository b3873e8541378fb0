import { type Derivatives, rk4Step } from '@attemper/core/world/fermentation/rk4.ts'

/** States at equal steps of time, between which a test may look up values and crossings. */
export interface Course {
  readonly step_h: number
  readonly states: readonly Float64Array[]
}

/**
 * Integrates with the integrator of the core. `parametersAt` gives the parameters in the middle of each step, since the
 * core too holds temperature constant during a step.
 */
export function integrate<Parameters>(
  derivatives: Derivatives<Parameters>,
  parametersAt: (time_h: number) => Parameters,
  start: readonly number[],
  until_h: number,
  step_h: number,
): Course {
  const y = Float64Array.from(start)
  const states = [y.slice()]
  const steps = Math.round(until_h / step_h)
  for (let step = 0; step < steps; step++) {
    rk4Step(derivatives, parametersAt((step + 0.5) * step_h), y, step_h)
    states.push(y.slice())
  }
  return { step_h, states }
}

/** A quantity at a time that is a multiple of the step. */
export function at(course: Course, time_h: number, quantity: (y: Float64Array) => number): number {
  const state = course.states[Math.round(time_h / course.step_h)]
  if (!state) throw new Error(`the course ends before ${time_h} h`)
  return quantity(state)
}

/** When a quantity falls through a level for the last time, by linear interpolation; NaN when it never does. */
export function fallsBelow(course: Course, level: number, quantity: (y: Float64Array) => number): number {
  for (let i = course.states.length - 1; i > 0; i--) {
    const before = quantity(course.states[i - 1]!)
    const after = quantity(course.states[i]!)
    if (before >= level && after < level) return (i - (level - after) / (before - after)) * course.step_h
  }
  return Number.NaN
}

/** Highest value of a quantity and its time. */
export function peak(
  course: Course,
  quantity: (y: Float64Array) => number,
): { readonly value: number; readonly time_h: number } {
  let value = Number.NEGATIVE_INFINITY
  let time_h = 0
  course.states.forEach((state, i) => {
    if (quantity(state) > value) {
      value = quantity(state)
      time_h = i * course.step_h
    }
  })
  return { value, time_h }
}
