import { SELF, SPAN } from '../heat/step-table.ts'
import type { Stretch } from '../heat/stretch.ts'

/** Between which values the truth of a channel certainly is during a window: a bound that is proved (see StepTable). */
export class Reach {
  lowest = 0
  highest = 0
  /** A thermometer during the minute that begins `minute` minutes after the stretch, or during the five from there. */
  within(stretch: Stretch, row: number, minute: number, long: boolean): void {
    const sums = long ? stretch.table.longReach : stretch.table.reach
    const first = stretch.nodeChangesAtMinute(minute)
    const value = stretch.stateAtMinute(minute)[row]!
    const at = row * SPAN
    const own = sums[at + SELF]! * stretch.changeAtMinute(row, minute)
    let rise = Math.max(own, 0)
    let fall = Math.max(-own, 0)
    for (let n = 0; n < SELF; n++) {
      const part = sums[at + n]! * first[n]!
      if (part > 0) rise += part
      else fall -= part
    }
    this.lowest = value - fall
    this.highest = value + rise
  }

  /** A quantity that runs straight, or not at all. */
  between(from: number, to: number): void {
    this.lowest = Math.min(from, to)
    this.highest = Math.max(from, to)
  }
}
