/** The runs that are drawn over the fans, as lines over time and along the path. */
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { Fan } from '@attemper/core/rehearsal/result.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { mapFan } from '@attemper/core/report/display-scale.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { Curve } from '../charts/overlay.ts'
import type { Column } from '../charts/plot.ts'
import { countUntil, type RunCurves, runCurves } from './run-curves.ts'

/** A run that is followed, and how far it has come. */
export interface Played {
  readonly record: RunRecord
  readonly at_h: number
}

export interface PicturedRuns {
  readonly temperature: readonly Curve[]
  readonly gravity: readonly Curve[]
  readonly path: readonly Curve[]
}

export const NO_RUNS: PicturedRuns = { temperature: [], gravity: [], path: [] }

/** Making the lines of two hundred runs takes some milliseconds, and the same ones are pointed at again and again. */
const kept = new WeakMap<RunRecord, { readonly units: string; readonly curves: RunCurves }>()

function curvesOf(record: RunRecord, setup: Setup, units: DisplayUnits): RunCurves {
  const key = `${units.temperature}${units.gravity}`
  const known = kept.get(record)
  if (known?.units === key) return known.curves
  const curves = runCurves(record, setup, units)
  kept.set(record, { units: key, curves })
  return curves
}

/** A run that is followed is seen alone. */
export function picturedRuns(
  lit: readonly RunRecord[],
  played: Played | null,
  setup: Setup,
  units: DisplayUnits,
): PicturedRuns {
  if (played !== null) {
    const curves = curvesOf(played.record, setup, units)
    return pictured([{ ...curves, look: 'played', upTo: countUntil(curves.time_h, played.at_h) }])
  }
  return pictured(lit.map(record => ({ ...curvesOf(record, setup, units), look: 'lit' })))
}

function pictured(runs: readonly (RunCurves & Pick<Curve, 'look' | 'upTo'>)[]): PicturedRuns {
  const curves = (of: (run: RunCurves) => { x: Column; y: Column }) =>
    runs.map(
      (run): Curve => ({
        ...of(run),
        look: run.look,
        ...(run.upTo === undefined ? {} : { upTo: run.upTo }),
      }),
    )
  return {
    temperature: curves(run => ({ x: run.time_h, y: run.temperature })),
    gravity: curves(run => ({ x: run.time_h, y: run.gravity })),
    path: curves(run => ({ x: run.gravity, y: run.temperature })),
  }
}

/** An earlier fan as outlines: its median, and the ends of nine in ten. */
export function fanBefore(x: Column, fan: Fan, of: (value: number) => number): readonly Curve[] {
  const { p5, p50, p95 } = mapFan(fan, of)
  return [
    { x, y: p5, look: 'before edge' },
    { x, y: p95, look: 'before edge' },
    { x, y: p50, look: 'before' },
  ]
}
