import type { Channel } from '../../vessel/vessel.ts'

/**
 * What the world knows of a channel's quantity. Temperatures and gravity come from the model. `power` is the electric power
 * of the appliances and `pH` a simple fall with attenuation. Pressure, humidity and whatever else a vessel file names are
 * not modelled: such a channel stays silent, and conditions that rest on it are unknown.
 */
export type QuantityModel = 'temperature' | 'gravity' | 'power' | 'pH' | 'none'

export function quantityModel(channel: Channel): QuantityModel {
  const { quantity, unit } = channel
  if (quantity === 'beer' || quantity === 'air' || unit === '°C' || unit === '°F') return 'temperature'
  if (quantity === 'gravity') return 'gravity'
  if (quantity === 'power') return 'power'
  return quantity.toLowerCase() === 'ph' ? 'pH' : 'none'
}

/** Wort and finished beer. Common practice, no source. */
const WORT_PH = 5.2
const BEER_PH = 4.3

/** `progress`: share of the attenuation that has been reached, 0 to 1. */
export function acidity_pH(progress: number): number {
  return WORT_PH + (BEER_PH - WORT_PH) * progress
}

/** Heat moved per electric energy of a small refrigerator. Common practice, no source. */
const COEFFICIENT_OF_PERFORMANCE = 1.5

export function coolerElectric_W(heatRemovedAtRating_W: number): number {
  return heatRemovedAtRating_W / COEFFICIENT_OF_PERFORMANCE
}
