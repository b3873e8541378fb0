/**
 * What a forecast has to beat: the expected gravity taken at its word, three quarters of the extract gone, and a logistic curve
 * (as in ASBC Yeast-14) with weak priors, fitted by a general-purpose library and read at the last time and at its end.
 * Gravities in points above 1.000, times in hours.
 */
import { levenbergMarquardt } from 'ml-levenberg-marquardt'
import type { Question } from './question.ts'

export interface Baselines {
  /** Errors in points, forecast minus record; null where nothing was expected, or where no curve could be fitted. */
  readonly expected: number | null
  readonly attenuation75: number
  readonly logistic: number | null
  readonly logistic_end: number | null
}

const points = (gravity: number) => (gravity - 1) * 1000
/** Weak priors of the fit: a quarter of the original is left, give or take 8 points; it began within 3 points. */
const END_SD = 8
const ORIGINAL_SD = 3
/** Places on the axis of time that stand for the two priors. */
const PRIOR_END = -2e6
const PRIOR_ORIGINAL = -1e6
const MOST_READINGS = 150

type Curve = readonly [original: number, end: number, slope: number, middle_h: number]

export function baselines(question: Question): Baselines {
  const last = points(question.last.value)
  const original = points(question.original)
  const expected = question.record.expectedGravity
  const curve = fitLogistic(question)
  return {
    expected: expected === null ? null : points(expected) - last,
    attenuation75: original / 4 - last,
    logistic: curve && logisticAt(curve, question.last.at_h) - last,
    logistic_end: curve && curve[1] - last,
  }
}

function logisticAt([original, end, slope, middle_h]: Curve, at_h: number): number {
  return end + (original - end) / (1 + Math.exp(Math.max(-60, Math.min(60, slope * (at_h - middle_h)))))
}

function fitLogistic(question: Question): Curve | null {
  const original = points(question.original)
  const shown = thinned(question.shown, MOST_READINGS)
  const x = [...shown.map(each => each.at_h), PRIOR_END, PRIOR_ORIGINAL]
  // The priors are readings of their own, in units of their spread: no weights are needed.
  const y = [...shown.map(each => points(each.value)), original / 4 / END_SD, original / ORIGINAL_SD]
  const started = [0.06, 0.02].flatMap(slope =>
    [1, 1.5].map(later => [original, original / 4, slope, Math.max(question.now_h, 1) * later]),
  )
  const fits = started.flatMap(initialValues => {
    try {
      const fit = levenbergMarquardt(
        { x, y },
        ([from, end, slope, middle_h]) =>
          at_h => {
            if (at_h === PRIOR_END) return end! / END_SD
            if (at_h === PRIOR_ORIGINAL) return from! / ORIGINAL_SD
            return logisticAt([from!, end!, slope!, middle_h!], at_h)
          },
        {
          initialValues,
          minValues: [original - 5, -20, 1e-3, -200],
          maxValues: [original + 15, original, 1, 3000],
          maxIterations: 300,
          damping: 0.1,
          gradientDifference: 1e-3,
          errorTolerance: 1e-9,
        },
      )
      return [fit]
    } catch {
      // A start from which the library finds no way is no fault of the record: another one stands beside it.
      return []
    }
  })
  const best = fits.sort((a, b) => a.parameterError - b.parameterError)[0]
  return best ? (best.parameterValues as unknown as Curve) : null
}

function thinned<T>(all: readonly T[], most: number): readonly T[] {
  if (all.length <= most) return all
  return Array.from({ length: most }, (_, index) => all[Math.floor((index * (all.length - 1)) / (most - 1))]!)
}
