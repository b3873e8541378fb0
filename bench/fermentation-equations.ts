import { cardinalFactor } from '@attemper/core/world/fermentation/cardinal-temperature.ts'
import type { FermentationParameters } from '@attemper/core/world/fermentation/core.ts'

/*
 * The fermentation written as a right-hand side for a general solver: the equations of docs/reference/fermentation-model.md
 * with their exponentials, and the temperature as a variable instead of a constant of the step.
 */

const ETHANOL_PER_EXTRACT = 1 / 2.0665
const OSMOTIC_ONSET_g_per_L = 100
const ETHANOL_ONSET_g_per_L = 46
const HOUR_S = 3600

/** Latent and active yeast, extract, precursor and diacetyl change by this, 1/s; returns the uptake, g/(L h). */
export function fermentationRates(
  p: FermentationParameters,
  temperature_C: number,
  y: readonly number[],
  first: number,
  rates: number[],
): number {
  const [latent, active, extract, precursor, diacetyl] = y.slice(first, first + 5) as [
    number,
    number,
    number,
    number,
    number,
  ]
  const temperature_K = temperature_C + 273.15
  const theta = cardinalFactor(temperature_C, p.temperatures)
  const waking = p.lagFactor * Math.exp(30.72 - 9501.54 / temperature_K) * latent
  const decay =
    p.precursorDecay_per_h * Math.exp((97000 / 8.314462618) * (1 / 283.15 - 1 / temperature_K)) * precursor
  const left = Math.max(0, extract)
  const saturation = left / (p.halfUptake_g_per_L + left)
  const ethanol = (p.fermentable_g_per_L - extract) * ETHANOL_PER_EXTRACT
  const poisoned = p.ethanolSlowing_L_per_g * Math.max(0, ethanol - ETHANOL_ONSET_g_per_L)
  const working = theta * active * saturation * Math.max(0, 1 - poisoned)
  const crowded = 1 + p.osmoticSlowing_L_per_g * Math.max(0, extract - OSMOTIC_ONSET_g_per_L)
  const growth = (p.growth_per_h * working * Math.max(0, p.reach - active - latent)) / crowded
  const uptake = (p.uptake_g_per_L_h * working) / (1 + ethanol / p.halfInhibition_g_per_L)
  rates[first] = -waking / HOUR_S
  rates[first + 1] = (waking + growth - p.settling_per_h * (1 - saturation) * active) / HOUR_S
  rates[first + 2] = -uptake / HOUR_S
  rates[first + 3] = (p.precursorYield_mg_per_L * growth - decay) / HOUR_S
  rates[first + 4] = (decay - p.diacetylReduction_per_h * theta * active * diacetyl) / HOUR_S
  return uptake
}
