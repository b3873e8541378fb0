/** Written in place of the number of decimal places when the values are kept as 64-bit floating-point numbers. */
export const NO_GRID = 15

const MOST_PLACES = 9

/** Differences of numbers up to here, in zigzag, are still whole numbers that a float64 holds exactly. */
const LARGEST = 2 ** 51

/**
 * The fewest decimal places (0 to 9) with which every value is a whole number of steps, so that dividing the whole
 * number by a power of ten gives back the very same float64; NO_GRID when there are none. A value read from "18.06"
 * always lies on the grid of 2 places, because the division rounds as the reading of the text did.
 */
export function decimalPlaces(values: Iterable<number>): number {
  let places = 0
  for (const value of values) {
    while (!isOnGrid(value, places)) {
      places++
      if (places > MOST_PLACES) return NO_GRID
    }
  }
  for (const value of values) {
    if (Math.abs(value) * 10 ** places > LARGEST) return NO_GRID
  }
  return places
}

function isOnGrid(value: number, places: number): boolean {
  const power = 10 ** places
  return Math.round(value * power) / power === value
}

export function toGrid(value: number, places: number): number {
  return Math.round(value * 10 ** places)
}
