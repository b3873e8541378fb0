import type uPlot from 'uplot'
import type { Palette } from './palette.ts'

/** Wide enough for "1.050", and the same in all charts, so that one time stands at one place. */
export const AXIS_WIDTH = 52
/** Between two ticks of an axis of time, s: charts one above the other take the same, so that one time stands at one place. */
export const TIME_STEPS: readonly number[] = [
  ...[1, 5, 15, 30].map(minutes => minutes * 60),
  ...[1, 2, 3, 6, 12].map(hours => hours * 3600),
  ...[1, 2, 4, 7, 14, 28, 56].map(days => days * 86_400),
]
const FONT = '12px system-ui, sans-serif'

export function axisX(colour: Palette, tick: (x: number) => string, steps?: readonly number[]): uPlot.Axis {
  return {
    stroke: () => colour('--ink-soft'),
    font: FONT,
    size: 30,
    space: 60,
    grid: { show: false },
    ticks: { stroke: () => colour('--rule'), size: 5 },
    values: (_plot, splits) => splits.map(tick),
    ...(steps === undefined ? {} : { incrs: [...steps] }),
  }
}

export function axisY(colour: Palette): uPlot.Axis {
  return {
    stroke: () => colour('--ink-soft'),
    font: FONT,
    size: AXIS_WIDTH,
    space: 34,
    grid: { stroke: () => colour('--grid'), width: 1 },
    ticks: { show: false },
  }
}

export function line(stroke: () => string, width: number, dash?: number[]): uPlot.Series {
  return { stroke, width, points: { show: false }, ...(dash === undefined ? {} : { dash }) }
}

export const INVISIBLE: uPlot.Series = { stroke: 'transparent', width: 0, points: { show: false } }

/** A little more than what is drawn; a line that does not move stands in the middle. */
export function padded(low: number | null, high: number | null): [number, number] {
  if (low === null || high === null) return [0, 1]
  const margin = (high - low) * 0.05 || Math.abs(high) * 0.01 || 1
  return [low - margin, high + margin]
}

/** A thin upright line under the pointer; charts of the same name share it. */
export function cursorFor(sync: string | undefined): uPlot.Cursor {
  return {
    drag: { x: false, y: false },
    points: { show: false },
    y: false,
    ...(sync === undefined ? {} : { sync: { key: sync, scales: ['x', null] as [string, null] } }),
  }
}
