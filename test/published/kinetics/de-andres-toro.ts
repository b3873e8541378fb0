/**
 * B. de Andres-Toro et al., A kinetic model for beer production under industrial operational conditions, Mathematics and
 * Computers in Simulation 48 (1998) 65-74. Latent, active and dead biomass, sugar, ethanol (g/L), diacetyl and ethyl
 * acetate (ppm); time in hours. Not for ale: above 16 °C the yeast dies before the sugar is gone.
 */
export const LATENT = 0
export const ACTIVE = 1
export const DEAD = 2
export const SUGAR = 3
export const ETHANOL = 4
export const DIACETYL = 5
export const ETHYL_ACETATE = 6

const K_DC = 0.000127672
const K_DM = 0.00113864

export interface AndresToroRates {
  readonly growth: number
  readonly acetateYield: number
  readonly uptake: number
  readonly waking: number
  readonly death: number
  readonly settling: number
  readonly ethanol: number
  readonly halfSugar: number
  readonly halfOfStart: number
}

export function andresToroRates(temperature_C: number, startSugar_g_per_L: number): AndresToroRates {
  const arrhenius = (a: number, b_K: number) => Math.exp(a + b_K / (temperature_C + 273.15))
  return {
    growth: arrhenius(108.31, -31934.09),
    acetateYield: arrhenius(89.92, -26589),
    uptake: arrhenius(-41.92, 11654.64),
    waking: arrhenius(30.72, -9501.54),
    death: arrhenius(130.16, -38313),
    settling: arrhenius(33.82, -10033.28),
    ethanol: arrhenius(3.27, -1267.24),
    halfSugar: arrhenius(-119.63, 34203.95),
    halfOfStart: 0.5 * startSugar_g_per_L,
  }
}

export function andresToro(y: Float64Array, dy: Float64Array, r: AndresToroRates): void {
  const active = y[ACTIVE]!
  const sugar = y[SUGAR]!
  const ethanol = y[ETHANOL]!
  const growth = (r.growth * sugar) / (r.halfOfStart + ethanol)
  const settling = (r.settling * r.halfOfStart) / (r.halfOfStart + ethanol)
  const saturation = sugar / (r.halfSugar + sugar)
  dy[LATENT] = -r.waking * y[LATENT]!
  dy[ACTIVE] = growth * active - r.death * active + r.waking * y[LATENT]!
  dy[DEAD] = r.death * active - settling * y[DEAD]!
  dy[SUGAR] = -r.uptake * saturation * active
  dy[ETHANOL] = (1 - ethanol / r.halfOfStart) * r.ethanol * saturation * active
  dy[DIACETYL] = K_DC * sugar * active - K_DM * y[DIACETYL]! * ethanol
  dy[ETHYL_ACETATE] = r.acetateYield * growth * active
}
