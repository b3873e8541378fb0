import { levenbergMarquardt } from 'ml-levenberg-marquardt'
import { describe, expect, it } from 'vitest'

/*
 * The fitter behind the logistic baseline against certified values of the Statistical Reference Datasets (NIST StRD, nonlinear
 * regression, public domain): Misra1a and Rat43, which is a sigmoid with four parameters.
 */

const MISRA1A = {
  x: [77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760],
  y: [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78],
  certified: [238.94212918, 5.5015643181e-4],
}
const RAT43 = {
  x: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15],
  y: [
    16.08, 33.83, 65.8, 97.2, 191.55, 326.2, 386.87, 520.53, 590.03, 651.92, 724.93, 699.56, 689.96, 637.56,
    717.41,
  ],
  certified: [699.6415127, 5.2771253025, 0.75962938329, 1.2792483859],
}

describe('the general-purpose fitter', () => {
  it('finds the certified values of Misra1a', () => {
    // Scaled, since the library steps all parameters alike.
    const fit = levenbergMarquardt(
      MISRA1A,
      ([a, b]) =>
        x =>
          a! * 100 * (1 - Math.exp(-b! * 1e-3 * x)),
      {
        initialValues: [2.5, 0.5],
        maxIterations: 2000,
        gradientDifference: 1e-7,
        damping: 1e-3,
        errorTolerance: 1e-12,
        improvementThreshold: 1e-12,
      },
    )
    const [a, b] = fit.parameterValues
    expect(Math.abs((a! * 100) / MISRA1A.certified[0]! - 1)).toBeLessThan(1e-6)
    expect(Math.abs((b! * 1e-3) / MISRA1A.certified[1]! - 1)).toBeLessThan(1e-6)
  })

  it('finds the certified values of the sigmoid Rat43', () => {
    const fit = levenbergMarquardt(
      RAT43,
      ([a, b, c, d]) =>
        x =>
          (a! * 100) / (1 + Math.exp(b! - c! * x)) ** (1 / d!),
      {
        initialValues: [7, 5, 0.75, 1.3],
        maxIterations: 2000,
        gradientDifference: 1e-7,
        damping: 1e-3,
        errorTolerance: 1e-12,
        improvementThreshold: 1e-12,
      },
    )
    const found = fit.parameterValues.map((value, index) => (index === 0 ? value * 100 : value))
    for (const [index, value] of RAT43.certified.entries()) {
      expect(Math.abs(found[index]! / value - 1)).toBeLessThan(1e-6)
    }
  })
})
