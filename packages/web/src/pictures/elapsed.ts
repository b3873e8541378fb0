import { formatDuration } from '@attemper/core/units/format.ts'

/** Hours from the start, to what matters at that length: "2 d 20 h", "45 min", "at the start". */
export function sayElapsed(hours: number): string {
  const minutes = Math.round(hours * 60)
  if (minutes <= 0) return 'at the start'
  const rounded = hours >= 10 ? Math.round(minutes / 60) * 60 : minutes
  return `after ${formatDuration(rounded * 60)}`
}

/** Of the time axis: hours as days when the picture is longer than three days. */
export interface TimeAxis {
  readonly inDays: boolean
  readonly title: string
  readonly tick: (hours: number) => string
  readonly steps_h: readonly number[]
}

const DAY_STEPS_h = [24, 48, 72, 96, 120, 168, 240, 336, 720]
const HOUR_STEPS_h = [0.25, 0.5, 1, 2, 3, 6, 12]
const LONG_h = 72

export function timeAxis(longest_h: number, from: string): TimeAxis {
  return longest_h > LONG_h
    ? { inDays: true, title: `days ${from}`, tick: h => `${Math.round(h / 24)} d`, steps_h: DAY_STEPS_h }
    : { inDays: false, title: `hours ${from}`, tick: h => `${h} h`, steps_h: HOUR_STEPS_h }
}
