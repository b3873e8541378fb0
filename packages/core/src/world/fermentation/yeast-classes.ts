import type { YeastClass } from '../../beer/beer.ts'
import type { CardinalTemperatures } from './cardinal-temperature.ts'

/**
 * Start values of the kinetics for each class of yeast, at 12 °P. All of them are engineering estimates, placed inside
 * the growth limits that Salvado et al. 2011 measured for Saccharomyces (best 23.6-32.3 °C, highest 36.8-45.4 °C, lowest
 * 1.3-4.3 °C) and what Kits et al. and Foster et al. 2021 saw of kveik; the speed is set by common practice, no source:
 * a lager at 12 °C has lost 90 % of its fermentable extract in 156 h, an ale at 20 °C in 66 h, a saison at 26 °C in
 * 84 h, a kveik at 35 °C in 40 h.
 */
export interface YeastClassValues extends CardinalTemperatures {
  /** Yeast at pitching as a share of the crop, at the pitching rate below. */
  readonly pitchedShare: number
  /** Million cells per mL and °P. */
  readonly usualPitch: number
  /** Growth at the best temperature, 1/h. */
  readonly growth_per_h: number
  /** Extract eaten by the whole crop at the best temperature, g/(L h). */
  readonly uptake_g_per_L_h: number
  /**
   * Diacetyl and its precursor together above which most tasters notice it, mg/L. Middle of the published thresholds: 0.1 to
   * 0.2 in lager, 0.1 to 0.4 in ale (Krogerus and Gibson, Appl. Microbiol. Biotechnol. 2013).
   */
  readonly diacetylThreshold_mg_per_L: number
}

export const YEAST_CLASSES: Readonly<Record<YeastClass, YeastClassValues>> = {
  lager: {
    lowest_C: 1,
    best_C: 26,
    highest_C: 34,
    pitchedShare: 0.25,
    usualPitch: 1.5,
    growth_per_h: 0.16,
    uptake_g_per_L_h: 3.5153,
    diacetylThreshold_mg_per_L: 0.15,
  },
  ale: {
    lowest_C: 2.5,
    best_C: 30,
    highest_C: 40,
    pitchedShare: 0.15,
    usualPitch: 0.75,
    growth_per_h: 0.2,
    uptake_g_per_L_h: 4.3489,
    diacetylThreshold_mg_per_L: 0.25,
  },
  wheat: {
    lowest_C: 2.5,
    best_C: 30,
    highest_C: 40,
    pitchedShare: 0.15,
    usualPitch: 0.75,
    growth_per_h: 0.2,
    uptake_g_per_L_h: 4.3489,
    diacetylThreshold_mg_per_L: 0.25,
  },
  saison: {
    lowest_C: 5,
    best_C: 33,
    highest_C: 42,
    pitchedShare: 0.15,
    usualPitch: 0.75,
    growth_per_h: 0.2,
    uptake_g_per_L_h: 2.7343,
    diacetylThreshold_mg_per_L: 0.25,
  },
  kveik: {
    lowest_C: 4,
    best_C: 36,
    highest_C: 44,
    pitchedShare: 0.1,
    usualPitch: 0.4,
    growth_per_h: 0.3,
    uptake_g_per_L_h: 4.1268,
    diacetylThreshold_mg_per_L: 0.25,
  },
}
