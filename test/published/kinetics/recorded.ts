import type { YeastClass } from '@attemper/core/beer/beer.ts'
import {
  apparentGravity,
  createFermentation,
  type FermentationParameters,
  stepFermentation,
} from '@attemper/core/world/fermentation/core.ts'
import {
  type FermentationDraw,
  fermentationParameters,
  NOMINAL_FERMENTATION,
} from '@attemper/core/world/fermentation/parameters.ts'
import { number, table } from '../table.ts'
import { leastSquares } from './least-squares.ts'
import { testBeer } from './published-core.ts'

/** What has to be supposed about a recorded fermentation before it can be predicted. */
export interface Supposition {
  readonly file: string
  readonly yeastClass: YeastClass
  /** Where the record gives no temperature of the liquid, °C. */
  readonly temperature_C?: number
  /** Final gravity: the last reading, or where it seems to be heading; with the sd of that guess. */
  readonly final: { readonly value: number; readonly sd: number }
  /** Readings after this time are left out. */
  readonly until_h?: number
}

interface Reading {
  readonly time_h: number
  readonly gravity_SG: number
}

/** Readings are trusted to 1.5 points: a tenth of a per cent of the saccharometer, and the vessel-to-vessel scatter. */
const READING_SD = 0.0015

export interface Comparison {
  /** Root mean square of predicted minus recorded gravity, points, with the values of the class and nothing fitted. */
  readonly predicted_points: number
  /** The same after fitting the five unknowns within their priors. */
  readonly fitted_points: number
  /** The fitted unknowns, in standard deviations of their priors. */
  readonly draw: FermentationDraw
}

/** Compares the core with a record. `adjust` may switch terms of the model off. */
export function compare(
  supposition: Supposition,
  adjust: (parameters: FermentationParameters) => FermentationParameters,
): Comparison {
  const rows = table(`recorded/${supposition.file}.csv`).filter(
    row => number(row, 'time_h') <= (supposition.until_h ?? Number.POSITIVE_INFINITY),
  )
  const readings = rows
    .map(row => ({ time_h: number(row, 'time_h'), gravity_SG: number(row, 'gravity') }))
    .filter(reading => !Number.isNaN(reading.gravity_SG))
  const temperatures = rows
    .map(row => [number(row, 'time_h'), number(row, 'temperature_C')] as const)
    .filter(([, temperature_C]) => !Number.isNaN(temperature_C))
  const temperatureAt = (time_h: number) => supposition.temperature_C ?? interpolate(temperatures, time_h)
  const usualPitch = supposition.yeastClass === 'lager' ? 1.5 : 0.75
  const beer = testBeer(supposition.yeastClass, readings[0]!.gravity_SG, supposition.final, usualPitch)
  const missesWith = (draw: FermentationDraw) => {
    const predicted = simulate(adjust(fermentationParameters(beer, draw)), temperatureAt, readings)
    // The first reading is the original gravity itself, unless it was taken later.
    return readings.flatMap((reading, i) => (reading.time_h > 0 ? [predicted[i]! - reading.gravity_SG] : []))
  }
  const drawOf = (z: readonly number[]): FermentationDraw => ({
    ...NOMINAL_FERMENTATION,
    k: z[0]!,
    mu: z[1]!,
    lagFactor: z[2]!,
    x0: z[3]!,
    final: z[4]!,
  })
  const best = leastSquares(
    z => [...missesWith(drawOf(z)).map(miss => miss / READING_SD), ...z],
    [0, 0, 0, 0, 0],
  )
  return {
    predicted_points: 1000 * rootMeanSquare(missesWith(NOMINAL_FERMENTATION)),
    fitted_points: 1000 * rootMeanSquare(missesWith(drawOf(best))),
    draw: drawOf(best),
  }
}

function simulate(
  parameters: FermentationParameters,
  temperatureAt: (time_h: number) => number,
  readings: readonly Reading[],
): number[] {
  const state = createFermentation(parameters)
  let time_h = 0
  return readings.map(reading => {
    while (time_h < reading.time_h) {
      const step_h = Math.min(1, reading.time_h - time_h)
      stepFermentation(state, parameters, temperatureAt(time_h + 0.5 * step_h), step_h * 3600)
      time_h += step_h
    }
    return apparentGravity(state, parameters)
  })
}

function interpolate(points: readonly (readonly [number, number])[], x: number): number {
  const after = points.findIndex(([at]) => at >= x)
  if (after < 0) return points.at(-1)![1]
  if (after === 0) return points[0]![1]
  const [x0, y0] = points[after - 1]!
  const [x1, y1] = points[after]!
  return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0)
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length)
}
