import type { DisplayUnits } from '../units/display.ts'
import {
  formatDifference,
  formatGravity,
  formatGravityDifference,
  formatNumber,
  formatPercent,
  formatTemperature,
} from '../units/format.ts'

/** How the proof-reader's sentences say their numbers: SI in, the reader's own units out. */
export interface Say {
  temperature(value_C: number): string
  difference(value_K: number): string
  /** A rate to two figures. */
  about(rate_K_per_s: number): string
  gravity(value_SG: number): string
  gravityDifference(value_SG: number): string
  /** "130 s", "36 h", "2.5 d": to about two figures. */
  time(time_s: number): string
  share(share: number): string
  power(power_W: number): string
  /** A value or a difference of some quantity, in its own unit. */
  value(quantity: string, value: number): string
  step(quantity: string, difference: number): string
}

const UNITS: readonly (readonly [least_s: number, length_s: number, sign: string, decimals: number])[] = [
  [3 * 86_400, 86_400, 'd', 1],
  [2 * 3600, 3600, 'h', 1],
  [180, 60, 'min', 0],
  [0, 1, 's', 0],
]

/** In the unit in which it has two figures before the point, or in which it is a whole number of hours or minutes. */
function sayTime(time_s: number): string {
  if (!Number.isFinite(time_s)) return 'for ever'
  const isWhole = (length_s: number) => length_s < 86_400 && time_s > 0 && time_s % length_s === 0
  const [, length_s, sign, decimals] =
    UNITS.find(([least_s, length_s]) => time_s >= least_s || isWhole(length_s)) ?? UNITS[3]!
  return `${formatNumber(Number((time_s / length_s).toFixed(decimals)))} ${sign}`
}

export function sayIn(units: DisplayUnits): Say {
  const temperature = (value_C: number) => formatTemperature(Number(value_C.toFixed(1)), units, 'as written')
  const difference = (value_K: number) =>
    formatDifference(Number(value_K.toPrecision(2)), units, 'as written')
  const gravity = (value_SG: number) => formatGravity(Number(value_SG.toFixed(4)), units, 'as written')
  const gravityDifference = (value_SG: number) =>
    formatGravityDifference(Number(value_SG.toPrecision(2)), units, 'as written')
  const isHeat = (quantity: string) => quantity === 'beer' || quantity === 'air'
  const isGravity = (quantity: string) => quantity === 'gravity' || quantity === 'forecast final gravity'
  return {
    temperature,
    difference,
    about: rate_K_per_s => {
      const length_s = rate_K_per_s * 3600 >= 0.2 ? 3600 : 86_400
      return `${difference(rate_K_per_s * length_s)}/${length_s === 3600 ? 'h' : 'd'}`
    },
    gravity,
    gravityDifference,
    time: sayTime,
    share: share => formatPercent(Number(share.toFixed(3)), 'as written'),
    power: power_W => `${Math.round(power_W)} W`,
    value: (quantity, value) =>
      isHeat(quantity) ? temperature(value) : isGravity(quantity) ? gravity(value) : formatNumber(value),
    step: (quantity, value) =>
      isHeat(quantity)
        ? difference(value)
        : isGravity(quantity)
          ? gravityDifference(value)
          : formatNumber(Number(value.toPrecision(2))),
  }
}

/** "A", "A and B", "A, B and C". */
export function sayList(words: readonly string[]): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}
