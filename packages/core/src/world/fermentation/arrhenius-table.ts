/**
 * A rate with exp(-b/T), tabulated, because the temperature of the beer is new at every step and Math.exp is the dearest
 * part of a step. Linear between entries of 1/16 K: within 1.5e-5 of the exponential for b up to 12,000 K. Below -10 °C
 * and above 110 °C the value at the end of the table is used.
 */
const LOWEST_C = -10
const ENTRIES_PER_K = 16
const LAST = 120 * ENTRIES_PER_K
const ZERO_C_IN_K = 273.15

/** Table of `rate(temperature_K)`. */
export function arrheniusTable(rate: (temperature_K: number) => number): Float64Array {
  return Float64Array.from({ length: LAST + 1 }, (_, i) => rate(LOWEST_C + i / ENTRIES_PER_K + ZERO_C_IN_K))
}

/** Value of a table at a temperature. */
export function lookUp(table: Float64Array, temperature_C: number): number {
  const position = Math.min(LAST - 1e-9, Math.max(0, (temperature_C - LOWEST_C) * ENTRIES_PER_K))
  const i = Math.floor(position)
  const here = table[i]!
  return here + (position - i) * (table[i + 1]! - here)
}
