import type { Beer, Yeast } from '../../beer/beer.ts'
import { platoFromSg } from '../../formulas/gravity.ts'
import { REAL_PER_APPARENT_DROP } from './balling.ts'
import { cardinalFactor } from './cardinal-temperature.ts'
import type { FermentationParameters } from './core.ts'
import { YEAST_CLASSES } from './yeast-classes.ts'

/**
 * One draw of everything about a fermentation that is not known: standard normal numbers, so that whoever draws them
 * needs to know nothing about yeast. All zero is the nominal fermentation.
 */
export interface FermentationDraw {
  /** Speed of uptake. */
  readonly k: number
  /** Speed of growth. */
  readonly mu: number
  /** Rate of waking from the lag. */
  readonly lagFactor: number
  /** Living yeast pitched. */
  readonly x0: number
  /** True final gravity. */
  readonly final: number
  /** Yield of the diacetyl precursor. */
  readonly yP: number
  /** Decay of the diacetyl precursor. */
  readonly kP: number
  /** Heat per extract. */
  readonly heat: number
  /** How quick this yeast is altogether: uptake and growth, beside their own spreads. */
  readonly pace: number
}

export const NOMINAL_FERMENTATION: FermentationDraw = {
  k: 0,
  mu: 0,
  lagFactor: 0,
  x0: 0,
  final: 0,
  yP: 0,
  kP: 0,
  heat: 0,
  pace: 0,
}

/** Coefficients of variation between batches of one yeast, lognormal; engineering judgement, to be replaced by what is learned. */
const SPREAD = { k: 0.25, mu: 0.25, lagFactor: 0.5, x0: 0.35, yP: 0.5, kP: 0.4 }
/** kJ/g. */
const HEAT_SD = 0.04

/** Share of k theta that the uptake reaches at its peak, at 12 °P with the usual pitch (0.55 to 0.66 over the classes). */
const PEAK_SHARE = 0.58
/** Yeast wakes from a state of 96 % latent cells, as in de Andres-Toro et al. 1998. */
const LATENT_SHARE = 0.96
/**
 * Doublings that a pitch can make before it has used up its sterols: three to four in a wort with oxygen (Boulton and Quain,
 * Brewing Yeast and Fermentation, from memory). Less yeast than this leaves behind can never grow to a whole crop.
 */
const DOUBLINGS = 4
/**
 * By active yeast, 1/h: an order of magnitude above the decay of the precursor, because that decay is what limits how fast
 * diacetyl goes away (Krogerus and Gibson, J. Inst. Brew. 119, 2013). The number itself is judgement.
 */
const DIACETYL_REDUCTION_per_h = 1
/** No pitch is so large that nothing is left to grow. */
const MOST_PITCHED = 0.9

/**
 * Parameters of one fermentation of this beer. The true final gravity is the expected one plus its drawn error; how fast,
 * how late, how much precursor follow from the class of the yeast, its pitch and its vigour. The uncertainty of
 * the vigour is that between yeasts and houses; the spreads of k and mu are those between batches of one yeast.
 */
export function fermentationParameters(
  beer: Beer & { readonly yeast: Yeast },
  draw: FermentationDraw = NOMINAL_FERMENTATION,
): FermentationParameters {
  const { yeast } = beer
  const values = YEAST_CLASSES[yeast.class]
  const originalExtract_P = platoFromSg(beer.originalGravity)
  const finalExtract_P = platoFromSg(beer.finalGravity.value + beer.finalGravity.sd * draw.final)
  // A real extract below nothing can not be: the lowest apparent extract is the one that leaves no extract at all.
  const realDrop_P = Math.min(
    Math.max(0, originalExtract_P - finalExtract_P) * REAL_PER_APPARENT_DROP,
    Math.max(0, originalExtract_P),
  )
  const vigour = yeast.vigour.value
  const vigourSpread = vigour > 0 ? yeast.vigour.sd / vigour : 0
  // A yeast that is quick or slow is so in all that it does.
  const pace = vigour * lognormal(draw.pace, vigourSpread)
  const pitched = Math.min(
    MOST_PITCHED,
    values.pitchedShare * (yeast.pitch / values.usualPitch) * lognormal(draw.x0, SPREAD.x0),
  )
  const middle_C = 0.5 * (yeast.comfort_C.lowest + yeast.comfort_C.highest)
  return {
    originalExtract_P,
    originalGravity_SG: beer.originalGravity,
    fermentable_g_per_L: 10 * beer.originalGravity * realDrop_P,
    latentAtPitch: LATENT_SHARE * pitched,
    activeAtPitch: (1 - LATENT_SHARE) * pitched,
    reach: Math.min(1, pitched * 2 ** DOUBLINGS),
    temperatures: values,
    growth_per_h: values.growth_per_h * pace * lognormal(draw.mu, SPREAD.mu),
    uptake_g_per_L_h: values.uptake_g_per_L_h * pace * lognormal(draw.k, SPREAD.k),
    lagFactor: lognormal(draw.lagFactor, SPREAD.lagFactor),
    halfUptake_g_per_L: 12,
    halfInhibition_g_per_L: 80,
    // Both set by the recorded strong ale, musts and sugar solutions: see docs/reference/fermentation-model.md.
    osmoticSlowing_L_per_g: 1 / 15,
    ethanolSlowing_L_per_g: 1 / (150 - 46),
    settling_per_h: 0.004,
    precursorYield_mg_per_L: 0.9 * lognormal(draw.yP, SPREAD.yP),
    precursorDecay_per_h: 0.007 * lognormal(draw.kP, SPREAD.kP),
    diacetylReduction_per_h: DIACETYL_REDUCTION_per_h,
    heat_kJ_per_g: Math.max(0.4, 0.587 + HEAT_SD * draw.heat),
    usualPeak_g_per_L_h: PEAK_SHARE * values.uptake_g_per_L_h * vigour * cardinalFactor(middle_C, values),
  }
}

/** Lognormal factor with median 1 and the given coefficient of variation, at `z` standard deviations. */
function lognormal(z: number, coefficientOfVariation: number): number {
  return Math.exp(z * Math.sqrt(Math.log(1 + coefficientOfVariation * coefficientOfVariation)))
}
