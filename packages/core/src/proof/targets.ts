import type { Beer } from '../beer/beer.ts'
import type { Course, Plan } from '../plan/plan.ts'
import type { Way } from './ways.ts'

/** From the lowest to the highest temperature, °C. */
export interface Span_C {
  readonly lowest: number
  readonly highest: number
}

export function joinSpans(a: Span_C | null, b: Span_C | null): Span_C | null {
  if (!a || !b) return a ?? b
  return { lowest: Math.min(a.lowest, b.lowest), highest: Math.max(a.highest, b.highest) }
}

/** The temperatures that a course names itself, °C; none for a vessel that is left alone. */
export function namedTargets_C(course: Course): readonly number[] {
  switch (course.kind) {
    case 'hold':
      return [course.target_C]
    case 'ramp':
      return course.from_C === undefined ? [course.to_C] : [course.from_C, course.to_C]
    case 'free rise':
      return course.lowest_C === undefined ? [course.cap_C] : [course.lowest_C, course.cap_C]
    case 'boil':
      return [course.from_C]
    case 'leave alone':
      return []
  }
}

/** The target with which a course ends, °C; null: it leaves the beer where it was. */
function lastTarget_C(course: Course): number | null {
  return course.kind === 'leave alone' ? null : (namedTargets_C(course).at(-1) ?? null)
}

/**
 * The targets with which each stage can begin: the last targets of the stages before it, and for the first stage the
 * wort's temperature. null: not known.
 */
export function targetsAtBeginning(
  plan: Plan,
  ways: readonly (readonly Way[])[],
  beer: Beer | undefined,
): readonly (Span_C | null)[] {
  const begin: (Span_C | null)[] = plan.stages.map(() => null)
  const open: number[] = []
  const enter = (stage: number, span: Span_C | null) => {
    if (!span || stage < 0 || stage >= begin.length) return
    const before = begin[stage] ?? null
    const after = joinSpans(before, span)!
    if (before && before.lowest === after.lowest && before.highest === after.highest) return
    begin[stage] = after
    if (plan.stages[stage]?.course.kind === 'leave alone') open.push(stage)
  }
  if (beer) enter(0, { lowest: beer.startsAt_C.value, highest: beer.startsAt_C.value })
  plan.stages.forEach((stage, from) => {
    const last = lastTarget_C(stage.course)
    if (last === null) return
    for (const way of ways[from] ?? []) enter(way.to, { lowest: last, highest: last })
  })
  // Only stages that are left alone hand on what they were given, so that this ends soon.
  while (open.length > 0) {
    const from = open.pop()!
    for (const way of ways[from] ?? []) enter(way.to, begin[from] ?? null)
  }
  return begin
}

/** How long the target itself takes to arrive, s; 0 for anything but a ramp; null: its beginning is not known. */
export function rampTime_s(course: Course, begin: Span_C | null): number | null {
  if (course.kind !== 'ramp') return 0
  if (course.over_s !== undefined) return course.over_s
  const rate = course.rate_K_per_s
  if (rate === undefined || !(rate > 0)) return 0
  if (course.from_C !== undefined) return Math.abs(course.to_C - course.from_C) / rate
  if (!begin) return null
  const distance = Math.max(Math.abs(course.to_C - begin.lowest), Math.abs(course.to_C - begin.highest))
  return distance / rate
}

/** The steepest rate of a ramp, K/s, always positive; null when it is no ramp or its beginning is not known. */
export function rampRate_K_per_s(course: Course, begin: Span_C | null): number | null {
  if (course.kind !== 'ramp') return null
  if (course.rate_K_per_s !== undefined) return course.rate_K_per_s
  if (course.over_s === undefined || !(course.over_s > 0)) return null
  const from = course.from_C === undefined ? begin : { lowest: course.from_C, highest: course.from_C }
  if (!from) return null
  return Math.max(Math.abs(course.to_C - from.lowest), Math.abs(course.to_C - from.highest)) / course.over_s
}
