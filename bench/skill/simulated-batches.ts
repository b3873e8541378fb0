/**
 * Batches of the project's own model of fermentation, which is not the family of curves that the estimator believes in. Speed,
 * lag, pitch and final gravity vary as between houses, a third of the batches stops early, and the float errs as floats do:
 * noise, steps, gain, drift, and foam that shows too much for hours.
 */
import type { Beer, Yeast } from '@attemper/core/beer/beer.ts'
import type { GravityReading } from '@attemper/core/beer-reading/gathered.ts'
import type { InstrumentErrors } from '@attemper/core/beer-reading/instrument.ts'
import type { KnownTemperature } from '@attemper/core/beer-reading/thermal-time.ts'
import { type Draw, drawFor } from '@attemper/core/random/draw.ts'
import {
  apparentGravity,
  createFermentation,
  stepFermentation,
} from '@attemper/core/world/fermentation/core.ts'
import { fermentationParameters } from '@attemper/core/world/fermentation/parameters.ts'
import { pointsOf } from '../../packages/cli/src/readings/recorded-batch.ts'

export interface SimulatedBatch {
  readonly original_points: number
  /** What its brewer expects as final gravity, wrong by about two points. */
  readonly expected: { readonly points: number; readonly sd: number }
  readonly stuck: boolean
  /** True gravity at each whole hour, points. */
  readonly truth: readonly number[]
  readonly readings: readonly GravityReading[]
  readonly temperatures: readonly KnownTemperature[]
}

export const FLOAT: InstrumentErrors = {
  noise_points: 0.5,
  resolution_points: 0.1,
  bias_points: 1,
  gain: 0.03,
  drift_points_per_d: 0.1,
}
export const EVERY_h = 1
const DAYS = 21
const STUCK_SHARE = 1 / 3
const EXPECTED_SD_points = 2
/** Speeds vary by 45 % between houses. */
const PACE_SD = 0.43
const FOAM_PER_h = 1 / 72

export function simulateBatch(seed: number, number: number): SimulatedBatch {
  const draw = drawFor(seed, number)
  const original = 1 + (42 + 16 * draw.uniform()) / 1000
  const attenuation = 0.76 + 0.04 * draw.normal()
  const final = 1 + (original - 1) * (1 - attenuation)
  const { stuck, truth, temperature_C } = ferment(draw, original, final)
  return {
    original_points: pointsOf(original),
    expected: { points: pointsOf(final) + EXPECTED_SD_points * draw.normal(), sd: EXPECTED_SD_points },
    stuck,
    truth,
    readings: floatReadings(draw, truth),
    temperatures: truth.map((_, at_h) => ({ at_h, value_C: temperature_C + 0.3 * draw.normal() })),
  }
}

function ferment(draw: Draw, original: number, final: number) {
  const kind = draw.uniform() < 0.75 ? 'ale' : 'lager'
  const temperature_C = kind === 'ale' ? 18 + 4 * draw.uniform() : 10 + 4 * draw.uniform()
  const comfort_C = kind === 'ale' ? { lowest: 16, highest: 24 } : { lowest: 8, highest: 15 }
  const yeast = {
    class: kind,
    comfort_C,
    pitch: kind === 'ale' ? 0.75 : 1.5,
    vigour: { value: Math.exp(PACE_SD * draw.normal()), sd: 0 },
  }
  const beer = { originalGravity: original, finalGravity: { value: final, sd: 0 }, yeast }
  const parameters = fermentationParameters(beer as unknown as Beer & { readonly yeast: Yeast }, {
    k: draw.normal(),
    mu: draw.normal(),
    lagFactor: draw.normal(),
    x0: draw.normal(),
    final: 0,
    yP: 0,
    kP: 0,
    heat: 0,
    pace: 0,
  })
  const state = createFermentation(parameters)
  const stuck = draw.uniform() < STUCK_SHARE
  // It stops with a fifth to a half of its sugar left, at least six points above the end.
  if (stuck) state.stuckAt = Math.max(6 / pointsOf(1 + original - final), 0.2 + 0.3 * draw.uniform())
  const truth: number[] = []
  for (let at_h = 0; at_h <= DAYS * 24; at_h++) {
    truth.push(pointsOf(apparentGravity(state, parameters)))
    stepFermentation(state, parameters, temperature_C, 3600)
  }
  return { stuck, truth, temperature_C }
}

function floatReadings(draw: Draw, truth: readonly number[]): readonly GravityReading[] {
  const bias = FLOAT.bias_points * draw.normal()
  const gain = FLOAT.gain * draw.normal()
  const drift = FLOAT.drift_points_per_d * draw.normal()
  let [foam, foamUntil_h] = [0, 0]
  return truth.map((points, at_h) => {
    const falling = points < truth[0]! - 2 && points > truth.at(-1)! + 1
    if (at_h >= foamUntil_h) foam = 0
    if (falling && foam === 0 && draw.uniform() < FOAM_PER_h) {
      foam = 2 + 4 * draw.uniform()
      foamUntil_h = at_h + 2 + 6 * draw.uniform()
    }
    const shown = points + bias + gain * (points - truth[0]!) + (drift * at_h) / 24 + foam
    const noisy = shown + FLOAT.noise_points * draw.normal()
    const { resolution_points: step } = FLOAT
    return { instrument: 0, at_h, points: Math.round(noisy / step) * step }
  })
}
