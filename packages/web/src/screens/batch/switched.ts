import type { Entry } from '@attemper/server/http/published.ts'

/** From when to when an appliance was on, ms; the last one may go on. */
export interface Run {
  readonly from_ms: number
  readonly to_ms: number
}

/** When an appliance was on, from the journal; a run that goes on ends now. */
export function runsOf(
  entries: readonly Entry[],
  appliance: 'heater' | 'cooler',
  now_ms: number,
): readonly Run[] {
  const runs: Run[] = []
  let from_ms: number | null = null
  for (const entry of entries) {
    if (entry.kind !== 'decision' || entry.event.kind !== 'switched' || entry.event.appliance !== appliance)
      continue
    const at_ms = entry.event.at_s * 1000
    if (entry.event.on) from_ms ??= at_ms
    else if (from_ms !== null) {
      runs.push({ from_ms, to_ms: at_ms })
      from_ms = null
    }
  }
  if (from_ms !== null) runs.push({ from_ms, to_ms: Math.max(from_ms, now_ms) })
  return runs
}

/** Share of the time that was on in each of `count` equal parts of a span, 0 to 1; null: in the future. */
export function sharesOf(
  runs: readonly Run[],
  span: { readonly from_ms: number; readonly to_ms: number },
  count: number,
  now_ms: number,
): readonly (number | null)[] {
  const length_ms = (span.to_ms - span.from_ms) / count
  const on_ms = new Float64Array(count)
  for (const { from_ms, to_ms } of runs) {
    const first = Math.max(0, Math.floor((from_ms - span.from_ms) / length_ms))
    const last = Math.min(count - 1, Math.floor((to_ms - span.from_ms) / length_ms))
    for (let part = first; part <= last; part += 1) {
      const begins_ms = span.from_ms + part * length_ms
      on_ms[part]! += Math.max(0, Math.min(to_ms, begins_ms + length_ms) - Math.max(from_ms, begins_ms))
    }
  }
  return Array.from(on_ms, (on, part) => {
    const begins_ms = span.from_ms + part * length_ms
    const past_ms = Math.min(length_ms, now_ms - begins_ms)
    return past_ms <= 0 ? null : Math.min(1, on / past_ms)
  })
}
