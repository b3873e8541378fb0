import { platoFromSg } from './gravity.ts'
import { waterDensity_kg_per_m3 } from './water-density.ts'

/** Air weighs on a hydrometer's specific gravity too, kg/m³. */
const AIR = 1.2
/** How much more a wort expands than water, per K and °P. Fitted here to sucrose densities at 15 and 20 °C. */
const EXTRA_EXPANSION = 3.8e-6

/**
 * Density of wort, kg/m³, from its specific gravity 20/20 °C. Within 0.05 of laboratory densities of sucrose solutions of 0-30 °P
 * at 20 °C and 0.1 at 15 °C; further away the extra expansion is an extrapolation.
 */
export function wortDensity_kg_per_m3(sg: number, temperature_C = 20): number {
  const water20 = waterDensity_kg_per_m3(20)
  const at20 = AIR + sg * (water20 - AIR)
  const extra = 1 - EXTRA_EXPANSION * platoFromSg(sg) * (temperature_C - 20)
  return at20 * (waterDensity_kg_per_m3(temperature_C) / water20) * extra
}
