import type { Plan, Stage } from '@attemper/core/plan/plan.ts'
import type { Entry } from '@attemper/server/http/published.ts'

export interface TargetAt {
  readonly at_ms: number
  /** null: none, as in a stage that leaves the vessel alone. */
  readonly target_C: number | null
}

/**
 * The target of a batch so far, as corners of a line: worked out from when each stage began and the plan as it is now. A
 * ramp begins where the target was before, or at `startsAt_C` when there was none.
 */
export function targetSoFar(
  plan: Plan,
  entries: readonly Entry[],
  now: { readonly at_ms: number; readonly target_C?: number | null },
  startsAt_C: number,
): readonly TargetAt[] {
  const begins = entries.flatMap(entry =>
    entry.kind === 'decision' && entry.event.kind === 'stage'
      ? [{ at_ms: entry.event.at_s * 1000, stage: entry.event.stage }]
      : [],
  )
  const corners: TargetAt[] = []
  let before_C: number | null = null
  begins.forEach(({ at_ms, stage: name }, n) => {
    const stage = plan.stages.find(each => each.name === name)
    const isLast = n === begins.length - 1
    const ends_ms = isLast ? now.at_ms : begins[n + 1]!.at_ms
    const course = stage === undefined ? null : courseOf(stage, before_C ?? startsAt_C)
    const at = (t_ms: number): number | null => (course === null ? null : course((t_ms - at_ms) / 1000))
    const times = [at_ms, at_ms + cornerOf(stage, before_C ?? startsAt_C) * 1000, ends_ms]
    for (const t_ms of times) {
      if (t_ms >= at_ms && t_ms <= ends_ms) corners.push({ at_ms: t_ms, target_C: at(t_ms) })
    }
    before_C = at(ends_ms)
  })
  // What the engine itself says of now is what counts; of a batch that has ended it says nothing.
  const { at_ms, target_C } = now
  if (corners.length > 0 && target_C !== undefined) corners[corners.length - 1] = { at_ms, target_C }
  return corners
}

function courseOf({ course }: Stage, before_C: number): ((elapsed_s: number) => number | null) | null {
  switch (course.kind) {
    case 'hold':
      return () => course.target_C
    case 'ramp': {
      const start_C = course.from_C ?? before_C
      const ends_s = rampLength_s(course, start_C)
      return elapsed_s =>
        elapsed_s >= ends_s ? course.to_C : start_C + ((course.to_C - start_C) * elapsed_s) / ends_s
    }
    case 'free rise':
      return () => course.cap_C
    case 'boil':
      return () => course.from_C
    case 'leave alone':
      return null
  }
}

/** When the line bends, s from the stage's beginning. */
function cornerOf(stage: Stage | undefined, before_C: number): number {
  const course = stage?.course
  return course?.kind === 'ramp' ? rampLength_s(course, course.from_C ?? before_C) : 0
}

function rampLength_s(course: Extract<Stage['course'], { kind: 'ramp' }>, start_C: number): number {
  return course.over_s ?? Math.abs(course.to_C - start_C) / (course.rate_K_per_s ?? 1)
}
