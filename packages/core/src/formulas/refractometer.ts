import { alcoholByWeight_percent, apparentAttenuation, realExtract_P } from './alcohol.ts'
import { platoFromSg, sgFromPlato } from './gravity.ts'

/**
 * A refractometer shows the sugar content of a pure sugar solution that bends light as the sample does. Wort bends it a
 * little more for the same extract, and alcohol bends it too: in a fermenting beer °Bx is neither °P nor an attenuation.
 * Which gravity belongs to it follows only together with the original gravity.
 *
 * Sources: S. Terrill, "Refractometer FG Results" (2011): a cubic fitted to finished beers of eight brewers, valid above
 * 61 % apparent attenuation; it misses by 1 to 2 points (standard deviation). Well below that, Balling's balance with the
 * refraction of ethanol in water (refractive index 1.3330 of water, 1.3364 of 5 % ethanol by mass, 1.3403 of 5 % sucrose,
 * 20 °C; CRC Handbook of Chemistry and Physics, from memory).
 */

/** °Bx that a refractometer shows in wort for each °P (Terrill 2011; the instrument's own factor may be 1.02 to 1.06). */
const BX_PER_P_IN_WORT = 1.04
/** °Bx that 1 % of ethanol by mass shows, against 1 for 1 % of sucrose. */
const BX_PER_ETHANOL_PERCENT = (1.3364 - 1.333) / (1.3403 - 1.333)
/** The cubic is fitted above the higher attenuation; below the lower one the balance counts alone, between them a mean of both. */
const BALANCE_BELOW = 0.4
const CUBIC_ABOVE = 0.75

/** Standard deviation of a gravity that comes from a refractometer, SG: Terrill's residuals and the brewer's own reading. */
export const REFRACTOMETER_SD_SG = 0.002

/** Original gravity, SG 20/20, of unfermented wort that shows so many °Bx. */
export function wortGravityFromRefractometer(reading_Bx: number): number {
  return sgFromPlato(reading_Bx / BX_PER_P_IN_WORT)
}

/**
 * Gravity, SG 20/20, of a fermenting or finished beer that shows so many °Bx, from its original gravity. Never above the
 * original gravity by more than the reading says. Not for sour, sweetened or spirit-strengthened beers.
 */
export function beerGravityFromRefractometer(reading_Bx: number, original_SG: number): number {
  const original_P = platoFromSg(original_SG)
  const corrected_P = reading_Bx / BX_PER_P_IN_WORT
  const balanced_P = extractByBalance_P(corrected_P, original_P)
  const attenuation = apparentAttenuation(original_P, balanced_P)
  const share = Math.min(1, Math.max(0, (attenuation - BALANCE_BELOW) / (CUBIC_ABOVE - BALANCE_BELOW)))
  const balanced_SG = sgFromPlato(balanced_P)
  return share === 0 ? balanced_SG : balanced_SG + share * (byCubic_SG(corrected_P, original_P) - balanced_SG)
}

/** Terrill 2011, simplified cubic, with both readings in wort-corrected °Bx. */
function byCubic_SG(final: number, initial: number): number {
  return (
    1 -
    0.0044993 * initial +
    0.011774 * final +
    0.00027581 * initial ** 2 -
    0.0012717 * final ** 2 -
    0.00000728 * initial ** 3 +
    0.000063293 * final ** 3
  )
}

/** Apparent extract for which real extract and alcohol together show the reading. Both are straight lines in it, so two points do. */
function extractByBalance_P(corrected_P: number, original_P: number): number {
  const shown = (apparent_P: number) => {
    const real_P = realExtract_P(original_P, apparent_P)
    return real_P + BX_PER_ETHANOL_PERCENT * alcoholByWeight_percent(original_P, real_P)
  }
  const unfermented = shown(original_P)
  const at0 = shown(0)
  return unfermented === at0 ? corrected_P : (original_P * (corrected_P - at0)) / (unfermented - at0)
}
