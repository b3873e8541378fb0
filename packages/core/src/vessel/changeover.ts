import type { Cooler, Heater, Instrument } from './vessel.ts'

/** A first-order store has given off 95 % of what it held after three time constants (1 - e^-3). */
const RUN_DOWN_TIME_CONSTANTS = 3

/** What a vessel without heater or cooler needs no time for is still never less than one minute. */
const LEAST_S = 60

/**
 * Time between heating and cooling that a vessel itself asks for, s in full minutes: until element and evaporator have
 * given off what they hold, and the thermometer in charge has seen it. Sooner, heater and cooler would work against each
 * other. Stores count as first-order lags: capacity over the sum of the conductances that lead away from it.
 */
export function changeoverOf(
  heater: Heater | undefined,
  cooler: Cooler | undefined,
  instruments: readonly Instrument[],
  trusted: readonly string[],
): number {
  const element_s =
    heater === undefined
      ? 0
      : runDown_s(heater.element_J_per_K.value, [
          heater.toBeer_W_per_K,
          heater.toWall_W_per_K,
          heater.toAir_W_per_K,
        ])
  const evaporator_s =
    cooler === undefined
      ? 0
      : runDown_s(cooler.evaporator_J_per_K.value, [cooler.toAir_W_per_K, cooler.toBeer_W_per_K])
  const inCharge = instruments.find(({ name }) => name === trusted[0])
  const lag_s = inCharge?.channels.find(({ quantity }) => quantity === 'beer')?.lag_s ?? 0
  const wait_s = Math.max(element_s, evaporator_s) + lag_s
  return Math.max(LEAST_S, Math.ceil(wait_s / 60) * 60)
}

function runDown_s(capacity_J_per_K: number, paths_W_per_K: readonly number[]): number {
  const away_W_per_K = paths_W_per_K.reduce((sum, each) => sum + each, 0)
  return away_W_per_K > 0 ? (RUN_DOWN_TIME_CONSTANTS * capacity_J_per_K) / away_W_per_K : 0
}
