import type { Beer, Yeast, YeastClass } from '@attemper/core/beer/beer.ts'
import { sgFromPlato } from '@attemper/core/formulas/gravity.ts'
import type { Uncertain } from '@attemper/core/vessel/vessel.ts'
import {
  apparentGravity,
  createFermentation,
  type FermentationParameters,
  stepFermentation,
} from '@attemper/core/world/fermentation/core.ts'
import { fermentationParameters } from '@attemper/core/world/fermentation/parameters.ts'

const place = { line: 1, column: 1, offset: 0, length: 1 }

/** Real degree of fermentation, as the reference sets it for each class. */
const REAL_DEGREE: Readonly<Record<YeastClass, number>> = {
  lager: 0.66,
  ale: 0.62,
  wheat: 0.62,
  saison: 0.75,
  kveik: 0.63,
}

/** A beer with nothing said but what its fermentation needs. */
export function testBeer(
  yeastClass: YeastClass,
  originalGravity: number,
  finalGravity: Uncertain,
  pitch: number,
): Beer & { readonly yeast: Yeast } {
  return {
    name: `test ${yeastClass}`,
    originalGravity,
    finalGravity,
    startsAt_C: { value: 20, sd: 0 },
    start: { text: '2026-12-04T18:00', local_s: 0 },
    yeast: {
      name: yeastClass,
      class: yeastClass,
      comfort_C: { lowest: 18, highest: 22 },
      attenuation: { lowest: 0.7, highest: 0.8 },
      pitch,
      vigour: { value: 1, sd: 0 },
      place,
    },
    brewer: { answersWithin_s: 3600, asleepFrom_s: 0, asleepTo_s: 0, awayAtWeekends: false },
    place,
  }
}

/** The nominal fermentation of the reference: 12 °P, usual pitch, the class's real degree of fermentation. */
export function publishedParameters(yeastClass: YeastClass): FermentationParameters {
  const usualPitch = { lager: 1.5, ale: 0.75, wheat: 0.75, saison: 0.75, kveik: 0.4 }[yeastClass]
  const final_SG = sgFromPlato(12 * (1 - REAL_DEGREE[yeastClass] / 0.8192))
  const beer = testBeer(yeastClass, sgFromPlato(12), { value: final_SG, sd: 0 }, usualPitch)
  // The reference's values of diacetyl were computed with a reduction as slow as this; ours is quicker.
  return { ...fermentationParameters(beer), diacetylReduction_per_h: 0.1 }
}

/** One moment of a simulated fermentation. */
export interface Moment {
  readonly time_h: number
  readonly y: Float64Array
  readonly gravity_SG: number
}

/** Runs the core with steps of 300 s, as a rehearsal does. Temperature is taken in the middle of each step. */
export function ferment(
  parameters: FermentationParameters,
  temperatureAt: (time_h: number) => number,
  until_h: number,
): Moment[] {
  const state = createFermentation(parameters)
  const moments: Moment[] = []
  const steps = Math.round(until_h * 12)
  for (let step = 0; ; step++) {
    moments.push({ time_h: step / 12, y: state.y.slice(), gravity_SG: apparentGravity(state, parameters) })
    if (step === steps) return moments
    stepFermentation(state, parameters, temperatureAt((step + 0.5) / 12), 300)
  }
}
