/**
 * Alcohol, real extract and attenuation from original and apparent extract. Balling's relations come first; the other
 * published formulas stand beside them because they are what many labels, ledgers and tax forms were made with, and they
 * differ: 1.080 to 1.016 is 8.40, 8.63 or 8.97 % by volume.
 */

/** Density of ethanol against water at 20 °C; 789.24 kg/m³. From memory. */
const ETHANOL_SG = 0.7907

/**
 * Real extract, °P. Balling's linear rule, RE = 0.1808 OE + 0.8192 AE. 0-25 °P; for the
 * ratio measured on real beers see Cutaia et al. 2009.
 */
export function realExtract_P(original_P: number, apparent_P: number): number {
  return 0.1808 * original_P + 0.8192 * apparent_P
}

/** Real extract, °P, with Balling's attenuation quotient q = 0.22 + 0.001 OE (from memory): for strong worts. */
export function realExtractByQuotient_P(original_P: number, apparent_P: number): number {
  const quotient = 0.22 + 0.001 * original_P
  return (quotient * original_P + apparent_P) / (1 + quotient)
}

/**
 * Alcohol, % by mass. Balling: A = (OE - RE) / (2.0665 - 0.010665 OE), 0-30 °P. Within 3 % of the means of 532 measured brews
 * (Cutaia et al., J. Inst. Brew. 115 (2009) 318-327).
 */
export function alcoholByWeight_percent(original_P: number, real_P: number): number {
  return (original_P - real_P) / (2.0665 - 0.010665 * original_P)
}

/** Original extract, °P, from alcohol by mass and real extract: Balling's great formula, the inverse of the above. */
export function originalExtract_P(alcoholByWeight_percent: number, real_P: number): number {
  return (100 * (2.0665 * alcoholByWeight_percent + real_P)) / (100 + 1.0665 * alcoholByWeight_percent)
}

/** Alcohol, % by mass, by the fit of Cutaia et al. 2009 to measured beers: A = (0.372 + 0.00357 OE)(OE - AE). 8-22 °P. */
export function alcoholByWeightCutaia_percent(original_P: number, apparent_P: number): number {
  return (0.372 + 0.00357 * original_P) * (original_P - apparent_P)
}

/** Alcohol, % by volume at 20 °C, from % by mass and the gravity of the beer. Exact; its ethanol density is from memory. */
export function alcoholByVolume_percent(alcoholByWeight_percent: number, beer_SG: number): number {
  return (alcoholByWeight_percent * beer_SG) / ETHANOL_SG
}

/**
 * Alcohol, % by volume, by the short rule ABV = 131.25 (OG - FG). Low by more than 0.1 above 6 %. Common practice, no source:
 * the constant is a round stoichiometric estimate that formula sheets copy from each other.
 */
export function alcoholByVolumeShort_percent(original_SG: number, final_SG: number): number {
  return 131.25 * (original_SG - final_SG)
}

/**
 * Alcohol, % by volume, Hall 1995 (coefficients from memory): ABW = 76.08 (OG - FG) / (1.775 - OG), over 0.794.
 * 1.030-1.100; higher than Balling by 0.3 at 1.080.
 */
export function alcoholByVolumeHall_percent(original_SG: number, final_SG: number): number {
  return (((76.08 * (original_SG - final_SG)) / (1.775 - original_SG)) * final_SG) / 0.794
}

/** Lowest drop in gravity points of each band, and its factor. */
const DUTY_BANDS: readonly (readonly [drop_points: number, factor: number])[] = [
  [89.8, 0.135],
  [78.9, 0.134],
  [68.0, 0.133],
  [57.2, 0.132],
  [46.6, 0.131],
  [36.1, 0.13],
  [26.2, 0.129],
  [17.3, 0.128],
  [10.5, 0.127],
  [7.0, 0.126],
  [0, 0.125],
]

/**
 * Alcohol, % by volume, as Excise Notice 226 of HM Revenue and Customs (para 30.3) states it for duty: gravity points
 * times the factor of the band, cut to one decimal. Up to 100.7 points; a drop between two printed bands takes the lower one.
 */
export function alcoholByVolumeForDuty_percent(drop_points: number): number {
  const band = DUTY_BANDS.find(([from]) => drop_points >= from) ?? DUTY_BANDS.at(-1)!
  // A hair more than the product, so that 4.9 computed as 4.8999... is not cut to 4.8.
  return Math.floor(drop_points * band[1] * 10 + 1e-9) / 10
}

/** Apparent attenuation, share of 1, from extracts. NaN for water. */
export function apparentAttenuation(original_P: number, apparent_P: number): number {
  return (original_P - apparent_P) / original_P
}

/** Apparent attenuation, share of 1, from gravities: up to 0.012 higher than from extracts. NaN for water. */
export function apparentAttenuationFromSg(original_SG: number, final_SG: number): number {
  return (original_SG - final_SG) / (original_SG - 1)
}

/**
 * Real degree of fermentation, share of 1: the extract that was fermented over the extract there was. ASBC Beer-6B
 * (factor 0.005161 from memory, it allows for the mass lost as gas). NaN for water.
 */
export function realDegreeOfFermentation(original_P: number, real_P: number): number {
  return (original_P - real_P) / original_P / (1 - 0.005161 * real_P)
}
