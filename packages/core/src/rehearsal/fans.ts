import { quantile } from './quantiles.ts'
import type { RunRecord, Trace } from './record.ts'
import type { Fan, RehearsalResult } from './result.ts'
import { NOMINAL_RUN } from './run.ts'
import type { Setup } from './setup.ts'

const HOUR_S = 3600
/** Points along the gravity axis of the path. */
const PATH_POINTS = 60
/** Where fewer runs than this share have a value, there is nothing to see. */
const LEAST_SHARE = 0.1
/** The fans over time end when this share of the runs has: the last stragglers would only make the picture long. */
const ENDED_SHARE = 0.95
/** Far above the rounding of a trace, far below what can be seen. */
const SAME_SG = 1e-5
/** At most this many points in time: more can not be told apart in a picture. */
const MOST_POINTS = 1200

/** Collects columns of a fan: at each point the values of those runs that have one. */
function fanOf(
  points: number,
  least: number,
  nominal: (point: number) => number,
  valuesAt: (point: number) => readonly number[],
): Fan {
  const columns = { p5: [], p25: [], p50: [], p75: [], p95: [], nominal: [] } as Record<
    keyof Fan,
    (number | null)[]
  >
  for (let point = 0; point < points; point++) {
    const expected = nominal(point)
    columns.nominal.push(Number.isFinite(expected) ? expected : null)
    const values = Float64Array.from(valuesAt(point)).sort()
    const isThin = values.length < Math.max(1, least)
    columns.p5.push(isThin ? null : quantile(values, 0.05))
    columns.p25.push(isThin ? null : quantile(values, 0.25))
    columns.p50.push(isThin ? null : quantile(values, 0.5))
    columns.p75.push(isThin ? null : quantile(values, 0.75))
    columns.p95.push(isThin ? null : quantile(values, 0.95))
  }
  return columns
}

/**
 * The fans over time. A beer whose plan is complete is kept as in the last stage, so its last value goes on counting: else
 * the runs that happen to be slow would take over the median at the end. A kettle is switched off, and left out.
 */
export function fansOverTime(setup: Setup, records: readonly RunRecord[]): RehearsalResult['overTime'] {
  const drawn = ensemble(records)
  const nominal = records.find(({ run }) => run === NOMINAL_RUN)
  const longest = lengthAtShare(drawn)
  const stride = Math.max(1, Math.ceil(longest / MOST_POINTS))
  const points = Math.ceil(longest / stride)
  const keepsLast = setup.plan.side === 'fermentation'
  const fan = (which: keyof Trace) =>
    fanOf(
      points,
      LEAST_SHARE * drawn.length,
      point => nominal?.trace[which][point * stride] ?? Number.NaN,
      point => {
        const values: number[] = []
        for (const { trace, ready_s } of drawn) {
          const column = trace[which]
          const value = column[point * stride] ?? (keepsLast && ready_s !== null ? column.at(-1) : undefined)
          if (value !== undefined && !Number.isNaN(value)) values.push(value)
        }
        return values
      },
    )
  return {
    time_h: Array.from({ length: points }, (_, point) => (point * stride * setup.sample_s) / HOUR_S),
    beer_C: fan('beer_C'),
    gravity: fan('gravity'),
    target_C: fan('target_C'),
    heater_share: fan('heater'),
    cooler_share: fan('cooler'),
  }
}

/** How many samples there are until so many runs have ended. */
function lengthAtShare(records: readonly RunRecord[]): number {
  const lengths = records.map(({ trace }) => trace.beer_C.length).sort((a, b) => a - b)
  return lengths[Math.min(lengths.length - 1, Math.floor(ENDED_SHARE * lengths.length))] ?? 0
}

/** The path: temperature and target at the moment when the beer first has each gravity on its way down. */
export function pathOf(setup: Setup, records: readonly RunRecord[]): RehearsalResult['path'] {
  const drawn = ensemble(records)
  const nominal = records.find(({ run }) => run === NOMINAL_RUN)
  const { originalGravity } = setup.beer
  let lowest = originalGravity
  for (const { finalGravity } of records) lowest = Math.min(lowest, finalGravity)
  const gravity = Array.from(
    { length: PATH_POINTS },
    (_, point) => originalGravity - ((originalGravity - lowest) * point) / (PATH_POINTS - 1),
  )
  const crossings = new Map(records.map(record => [record, crossingsOf(record.trace.gravity, gravity)]))
  const at = (record: RunRecord, which: 'beer_C' | 'target_C', point: number) => {
    const place = crossings.get(record)![point]!
    return Number.isNaN(place) ? Number.NaN : interpolate(record.trace[which], place)
  }
  const fan = (which: 'beer_C' | 'target_C') =>
    fanOf(
      PATH_POINTS,
      LEAST_SHARE * drawn.length,
      point => (nominal ? at(nominal, which, point) : Number.NaN),
      point => drawn.map(record => at(record, which, point)).filter(value => !Number.isNaN(value)),
    )
  return { gravity, beer_C: fan('beer_C'), target_C: fan('target_C') }
}

/**
 * Place (in samples, with fractions) at which a falling curve first reaches each level; NaN: never, or before it began.
 */
function crossingsOf(curve: Float32Array, levels: readonly number[]): Float64Array {
  const places = new Float64Array(levels.length).fill(Number.NaN)
  let level = 0
  for (let n = 0; n < curve.length && level < levels.length; n++) {
    while (level < levels.length && curve[n]! <= levels[level]!) {
      const before = n === 0 ? curve[0]! : curve[n - 1]!
      const drop = before - curve[n]!
      if (n > 0 || levels[level]! - before < SAME_SG) {
        places[level] = n === 0 || drop <= 0 ? n : n - 1 + (before - levels[level]!) / drop
      }
      level++
    }
  }
  return places
}

function interpolate(values: Float32Array, place: number): number {
  const below = Math.floor(place)
  const value = values[below]!
  const next = values[Math.min(below + 1, values.length - 1)]!
  return value + (place - below) * (next - value)
}

/** The drawn runs; a rehearsal of the nominal run alone shows that one. */
export function ensemble(records: readonly RunRecord[]): readonly RunRecord[] {
  const drawn = records.filter(({ run }) => run !== NOMINAL_RUN)
  return drawn.length > 0 ? drawn : records
}
