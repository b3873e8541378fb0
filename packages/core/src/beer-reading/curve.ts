/**
 * The family of curves that a gravity is believed to follow. Yeast that has got over its lag works at a rate that rises to a
 * plateau; sugar runs short as in Michaelis and Menten (1913): the share F of the fall that is left obeys
 *
 *     dF/dw = -F / (shortage + F),   hence F + shortage ln F = 1 - w
 *     w(τ) ~ ln(1 + exp(ramp (τ - lag)/half)) less its value at τ = 0, scaled so that F = 1/2 at τ = half
 *
 * A small shortage ends sharply after a straight fall, a large one trails as an exponential. Thermal time τ is in hours at
 * 20 °C; warmth drives it by exp(warmth (T - 20)/10), as far as the beer's temperature is known. Gravities are points above
 * 1.000.
 */

/** A curve as a point in a space without bounds, in this order; what follows is what each instrument adds. */
export const CURVE = {
  /** Original gravity minus the stated one, points. */
  original: 0,
  /** logit of the share of the original gravity that goes, of `MOST_ATTENUATION`. */
  attenuation: 1,
  /** ln of the half-time in hours at 20 °C. */
  half: 2,
  /** ln of the ramp: how steeply work begins, per half-time. */
  ramp: 3,
  /** logit of the lag as a share of the half-time. */
  lag: 4,
  /** ln of the shortage: the share of the fall left when the rate has halved. */
  shortage: 5,
  /** ln of the growth of speed with 10 K. */
  warmth: 6,
  /** ln of the scatter about the curve in points: what no instrument explains. */
  scatter: 7,
} as const

export const CURVE_SIZE = 8
/** Pure sugar in water ends about 15 % of its original gravity below water; nothing ends lower. */
export const MOST_ATTENUATION = 1.2
export const REFERENCE_C = 20

export function attenuationOf(logit: number): number {
  return MOST_ATTENUATION / (1 + Math.exp(-logit))
}

export function logitOf(attenuation: number): number {
  return Math.log(attenuation / (MOST_ATTENUATION - attenuation))
}

/** The course of a fall in thermal time, whatever its height. */
export interface Course {
  readonly half_h: number
  /** Ramp per thermal hour. */
  readonly ramp: number
  /** Ramp × lag. */
  readonly lag: number
  readonly shortage: number
  /** Work for each unit of the softened ramp, and that ramp at τ = 0. */
  readonly work: number
  readonly begin: number
}

const softened = (x: number) => (x > 30 ? x : Math.log1p(Math.exp(x)))

export function courseOf(points: Float64Array, at: number): Course {
  const half_h = Math.exp(points[at + CURVE.half]!)
  const perHalf = Math.exp(points[at + CURVE.ramp]!)
  const lag = perHalf / (1 + Math.exp(-points[at + CURVE.lag]!))
  const shortage = Math.exp(points[at + CURVE.shortage]!)
  const begin = softened(-lag)
  const work = (0.5 + shortage * Math.LN2) / (softened(perHalf - lag) - begin)
  return { half_h, ramp: perHalf / half_h, lag, shortage, work, begin }
}

/** What is left of the fall at a thermal time, 1 to 0. */
export function leftAt(course: Course, tau_h: number): number {
  const rest = 1 - course.work * (softened(course.ramp * tau_h - course.lag) - course.begin)
  return leftOf(rest, course.shortage)
}

/** Newton steps that are enough for the root below: it is convex and begun on its upper side. */
const STEPS = 12
const NEAR = 1e-7

/** F of F + shortage ln F = rest. */
function leftOf(rest: number, shortage: number): number {
  let x = Math.min(0, rest / shortage)
  let left = Math.exp(x)
  for (let step = 0; step < STEPS; step++) {
    const move = (left + shortage * x - rest) / (left + shortage)
    x -= move
    left = Math.exp(x)
    if (move < NEAR) break
  }
  return left
}

/** Thermal time at which this much is left of the fall. */
export function tauWhenLeft_h(course: Course, left: number): number {
  const ramped = (1 - left - course.shortage * Math.log(left)) / course.work + course.begin
  const x = ramped > 30 ? ramped : Math.log(Math.expm1(ramped))
  return Math.max(0, (x + course.lag) / course.ramp)
}
