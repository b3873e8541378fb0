import type { Stretch } from './stretch.ts'
import { BEER } from './vessel-network.ts'

/** At sea level. Extract and alcohol shift it by less than 1 K. */
export const BOILING_POINT_C = 100
/** Below this no heater brings the beer to the boil within one stretch. */
const MAY_BOIL_C = 50

/**
 * Whether the beer boils: the one thing in the heat of a vessel that is not linear. It is cut into two linear pieces, with
 * and without steam, and the second at which one gives way to the other is an event like a switching. What boils away
 * takes heat but no volume.
 */
export class Boiling {
  boils = false

  /** Call at an event; true: it has begun or stopped to boil. */
  update(beer_C: number): boolean {
    const boils = beer_C >= BOILING_POINT_C
    const turned = boils !== this.boils
    this.boils = boils
    return turned
  }

  /** The first second after `now_s` at which it begins or stops to boil, or `until_s` when that comes first. */
  turns_s(stretch: Stretch, now_s: number, until_s: number): number {
    if (!this.boils) {
      if (stretch.state[BEER]! < MAY_BOIL_C) return until_s
      // Heating, it is warmest at one of the ends; a peak that is missed in between is found at the next event.
      if (stretch.value(BEER, until_s - stretch.at_s) < BOILING_POINT_C) return until_s
    }
    for (let t_s = now_s + 1; t_s < until_s; t_s++) {
      if (stretch.value(BEER, t_s - stretch.at_s) >= BOILING_POINT_C !== this.boils) return t_s
    }
    return until_s
  }
}
