import type { FromNowResult } from '@attemper/core/rehearsal/from-now-result.ts'
import type { Fan } from '@attemper/core/rehearsal/result.ts'
import type { HistoryBucket } from '@attemper/server/http/published.ts'
import { brokenAt, type Table } from '../../charts/join-columns.ts'
import type { Span } from '../../charts/span.ts'
import type { TargetAt } from './target-so-far.ts'

const HOUR_s = 3600
/** A line is broken where nothing was heard for so many times as long as usual. */
const SILENT_TIMES = 6

/**
 * Readings for a chart on the vessel's own clock: mean, least, greatest, in the brewer's units. `interval_s`: how often the
 * instrument of a bucket reports.
 */
export function pastTable<Bucket extends Pick<HistoryBucket, 'from_ms' | 'min' | 'max' | 'mean'>>(
  buckets: readonly Bucket[],
  offset_s: number,
  of: (value: number) => number,
  interval_s: (bucket: Bucket) => number,
): Table {
  const x = buckets.map(({ from_ms }) => from_ms / 1000 + offset_s)
  const apart = x.slice(1).map((at, n) => at - x[n]!)
  const usual_s = median(apart)
  const table = {
    x,
    columns: [
      buckets.map(({ mean }) => of(mean)),
      buckets.map(({ min }) => of(min)),
      buckets.map(({ max }) => of(max)),
    ],
  }
  return brokenAt(table, n => SILENT_TIMES * Math.max(usual_s, interval_s(buckets[n]!)))
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0
}

/** The target as it was, and then as the nominal run from now has it. */
export function targetTable(
  corners: readonly TargetAt[],
  result: FromNowResult | null,
  offset_s: number,
  of: (value: number) => number,
): Table {
  const x: number[] = []
  const column: (number | null)[] = []
  const add = (at: number, value_C: number | null) => {
    const last = x.at(-1)
    // Where the target jumps, two values stand at one time; an axis knows each time once.
    x.push(last !== undefined && at <= last ? last + 0.5 : at)
    column.push(value_C === null ? null : of(value_C))
  }
  for (const { at_ms, target_C } of corners) add(at_ms / 1000 + offset_s, target_C)
  if (result !== null) {
    const { time_h, target_C } = result.overTime
    const from_s = x.at(-1) ?? Number.NEGATIVE_INFINITY
    time_h.forEach((hours, n) => {
      const at = result.now_s + offset_s + hours * HOUR_s
      if (at > from_s) add(at, target_C.nominal[n] ?? null)
    })
  }
  return { x, columns: [column] }
}

/**
 * The fan of a forecast on the vessel's own clock, from `from_s` on: a forecast may be some minutes old, and what has been
 * measured since needs none.
 */
export function aheadOf(
  { overTime, now_s }: FromNowResult,
  fan: Fan,
  offset_s: number,
  from_s: number,
): { readonly x: readonly number[]; readonly fan: Fan } | null {
  const x = overTime.time_h.map(hours => now_s + offset_s + hours * HOUR_s)
  const past = Math.max(
    0,
    x.findLastIndex(at => at <= from_s),
  )
  if (x.length - past <= 1) return null
  const cut = (column: readonly (number | null)[]) => column.slice(past)
  const { p5, p25, p50, p75, p95, nominal } = fan
  return {
    x: x.slice(past),
    fan: { p5: cut(p5), p25: cut(p25), p50: cut(p50), p75: cut(p75), p95: cut(p95), nominal: cut(nominal) },
  }
}

/** Value of a column at the hours from now, at its nearest point; null: outside, or none. */
export function valueAt(
  time_h: readonly number[],
  column: readonly (number | null)[],
  hours: number,
): number | null {
  const step_h = (time_h[1] ?? 1) - (time_h[0] ?? 0)
  return hours < 0 ? null : (column[Math.round(hours / step_h)] ?? null)
}

/** From a little before pitching to the end of what is expected; null: that is not known yet. */
export function wholeSpan(started_s: number, now_s: number, ends_s: number | null): Span {
  const room_s = ends_s === null ? Math.max(HOUR_s, 0.04 * (now_s - started_s)) : 0.01 * (now_s - started_s)
  const last_s = Math.max(now_s + room_s, ends_s ?? 0)
  return { low: started_s - 0.01 * (last_s - started_s), high: last_s }
}

/** So long a span with now in it, so that a third of it lies ahead; moved where there is nothing more to see. */
export function spanAround(now_s: number, length_s: number, whole: Span): Span {
  if (length_s >= whole.high - whole.low) return whole
  const low = Math.max(whole.low, Math.min(whole.high - length_s, now_s - (2 / 3) * length_s))
  return { low, high: low + length_s }
}
