/** A single run as lines for the charts, in the brewer's units. */
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { gravityScale, temperatureScale } from '@attemper/core/report/display-scale.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { Column } from '../charts/plot.ts'

export interface RunCurves {
  /** Hours from the start, ascending. */
  readonly time_h: readonly number[]
  readonly temperature: Column
  readonly gravity: Column
  readonly target: Column
}

/** More than this can not be told apart in a picture. */
const MOST_POINTS = 900

/** Every so many samples of a run, and its last one. */
export function runCurves(
  { trace }: RunRecord,
  setup: Pick<Setup, 'sample_s'>,
  units: DisplayUnits,
): RunCurves {
  const { length } = trace.beer_C
  const stride = Math.max(1, Math.ceil(length / MOST_POINTS))
  const samples: number[] = []
  for (let n = 0; n < length; n += stride) samples.push(n)
  if (samples.at(-1) !== length - 1 && length > 0) samples.push(length - 1)
  const temperature = temperatureScale(units)
  const gravity = gravityScale(units)
  const pick = (column: Float32Array, of: (value: number) => number) =>
    samples.map(n => {
      const value = column[n]!
      return Number.isNaN(value) ? null : of(value)
    })
  return {
    time_h: samples.map(n => (n * setup.sample_s) / 3600),
    temperature: pick(trace.beer_C, temperature.of),
    gravity: pick(trace.gravity, gravity.of),
    target: pick(trace.target_C, temperature.of),
  }
}

/** How many of ascending times are not later than this one. */
export function countUntil(time_h: readonly number[], at_h: number): number {
  let low = 0
  let high = time_h.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (time_h[middle]! <= at_h) low = middle + 1
    else high = middle
  }
  return low
}
