import type { QuantityName } from '../plan/plan.ts'
import type { Vessel } from './vessel.ts'

/**
 * What temperatures a vessel can have at all. Wide on purpose: what lies within is believed like any other reading, what
 * lies beyond must prove itself, so a bound that is a little wrong costs a warning or some minutes.
 */
export interface Reach {
  readonly lowest: number
  readonly highest: number
}

const EVERYTHING: Reach = { lowest: Number.NEGATIVE_INFINITY, highest: Number.POSITIVE_INFINITY }

/** A beer of 12 % alcohol begins to freeze at about -6 °C; below, it is ice and a probe in it is not believed easily. From memory. */
const ICE_C = -6
/** Wort boils at 100 to 103 °C, a degree or two more under a lid. From memory. */
const STEAM_C = 108
/** The room of the file is an estimate of some days; a heat wave or a closed car is warmer by so much. Common practice, no source. */
const ROOM_MARGIN_K = 15
/** Wort and targets may lie beyond the room by what yeast and mistakes add. Common practice, no source. */
const MARGIN_K = 10
/** No heater of a brewer warms its vessel further above the room. Common practice, no source. */
const MOST_RISE_K = 100
/** Between the evaporator and a door that stands open in the sun. Common practice, no source. */
const AIR: Reach = { lowest: -40, highest: 70 }

/** @param asked_C temperatures that the beer is meant to have: at pitching, and by the plan */
export function reachOf(vessel: Vessel, quantity: QuantityName, asked_C: readonly number[]): Reach {
  if (quantity === 'air') return AIR
  if (quantity !== 'beer') return EVERYTHING
  const { room, heater } = vessel
  const warmest_C = room.mean_C.value + room.swing_K.value
  const rise_K =
    heater === undefined ? 0 : Math.min(MOST_RISE_K, heater.power_W.value / lossToRoom_W_per_K(vessel))
  const highest = Math.max(
    warmest_C + ROOM_MARGIN_K,
    warmest_C + rise_K,
    ...asked_C.map(each => each + MARGIN_K),
  )
  return {
    lowest: Math.min(ICE_C, ...asked_C.map(each => each - MARGIN_K)),
    highest: Math.min(STEAM_C, highest),
  }
}

/** Beer to room, with everything in between. */
function lossToRoom_W_per_K({ heat }: Vessel): number {
  const parts = [
    heat.beerToWall_W_per_K,
    heat.wallToAir_W_per_K,
    ...(heat.cabinet ? [heat.airToRoom_W_per_K] : []),
  ]
  return 1 / parts.reduce((sum, { value }) => sum + 1 / value, 0)
}

const WATER_J_PER_L_K = 4180
/** Mistakes in the file, and what people do: ice, hot water, another vessel. Common practice, no source. */
const PACE_MARGIN = 3
const LEAST_PACE_K_PER_S = 10 / 3600

/** No beer in this vessel warms or cools faster than this by itself. */
export function fastest_K_per_s({ volume_L, heater, cooler }: Vessel): number {
  const power_W = Math.max(heater?.power_W.value ?? 0, cooler?.power_W.value ?? 0)
  return Math.max(LEAST_PACE_K_PER_S, (PACE_MARGIN * power_W) / (volume_L.value * WATER_J_PER_L_K))
}

/**
 * Thermometer chips of the commonest kind hold this value after they have been given power, until they have measured for the
 * first time; a loose wire makes them say it again and again. Data sheets give +85 °C (from memory).
 */
const POWER_ON_C = 85
/** Smaller than the smallest step of such a chip (1/16 °C), larger than what a conversion to °F and back leaves. */
const POWER_ON_WITHIN_K = 0.02

/** Whether this is what such a chip says when it has not measured. */
export function isPowerOnValue(value_C: number): boolean {
  return Math.abs(value_C - POWER_ON_C) < POWER_ON_WITHIN_K
}
