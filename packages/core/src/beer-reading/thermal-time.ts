/**
 * Thermal time: hours, counted faster in the warmth. Between temperatures that are known they run straight; before the first
 * and after the last they stay. Without any, thermal time is time, and the prior is wider instead (see `prior.ts`).
 */
import { REFERENCE_C } from './curve.ts'

export interface KnownTemperature {
  readonly at_h: number
  readonly value_C: number
}

/** Below this nothing ferments any faster for being a little warmer, above it yeast suffers: common practice, no source. */
const COLDEST_C = 0
const WARMEST_C = 38
/** Longest stretch over which warmth is averaged. */
const STRETCH_h = 4
/** The warmths for which thermal time is worked out; between them it runs straight. */
export const WARMTHS = Array.from({ length: 16 }, (_, index) => -0.2 + index * 0.1)

/** Thermal hours at given moments for each of `WARMTHS`: `tables[w][i]` at `moments_h[i]`, which rise. */
export function thermalTables(
  temperatures: readonly KnownTemperature[],
  moments_h: readonly number[],
): readonly Float64Array[] {
  const tables = WARMTHS.map(() => new Float64Array(moments_h.length))
  const sums = new Float64Array(WARMTHS.length)
  let from_h = 0
  for (const [index, until_h] of moments_h.entries()) {
    const parts = Math.max(1, Math.ceil((until_h - from_h) / STRETCH_h))
    const part_h = (until_h - from_h) / parts
    for (let part = 0; part < parts; part++) {
      const warmer_K = temperatureAt_C(temperatures, from_h + (part + 0.5) * part_h) - REFERENCE_C
      for (const [w, warmth] of WARMTHS.entries()) sums[w]! += part_h * Math.exp((warmth * warmer_K) / 10)
    }
    from_h = until_h
    for (const [w, table] of tables.entries()) table[index] = sums[w]!
  }
  return tables
}

/** How thermal time runs at a temperature. */
export function pace(value_C: number, warmth: number): number {
  return Math.exp((warmth * (within(value_C) - REFERENCE_C)) / 10)
}

export function temperatureAt_C(temperatures: readonly KnownTemperature[], at_h: number): number {
  if (temperatures.length === 0) return REFERENCE_C
  let [low, high] = [0, temperatures.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (temperatures[middle]!.at_h <= at_h) low = middle + 1
    else high = middle
  }
  const [before, after] = [temperatures[low - 1], temperatures[low]]
  if (!before) return within(after!.value_C)
  if (!after) return within(before.value_C)
  const share = (at_h - before.at_h) / (after.at_h - before.at_h)
  return within(before.value_C + share * (after.value_C - before.value_C))
}

const within = (value_C: number) => Math.max(COLDEST_C, Math.min(WARMEST_C, value_C))
