import type { Condition } from '../../plan/plan.ts'

/**
 * The shortest time after a stage's beginning at which its condition can be true, s, whatever the beer does: what has
 * to last counts in full, of alternatives the quickest. `reach_s` is the least time until the target can be reached.
 */
export function leastTime_s(condition: Condition, reach_s = 0, wanted = true): number {
  return condition.lasting_s * (wanted ? 1 : 0) + withoutDwell_s(condition, reach_s, wanted)
}

function withoutDwell_s(condition: Condition, reach_s: number, wanted: boolean): number {
  switch (condition.kind) {
    case 'not':
      return leastTime_s(condition.of, reach_s, !wanted)
    case 'all':
    case 'any': {
      const times = condition.of.map(part => leastTime_s(part, reach_s, wanted))
      if (times.length === 0) return 0
      return (condition.kind === 'all') === wanted
        ? times.reduce((a, b) => Math.max(a, b))
        : times.reduce((a, b) => Math.min(a, b))
    }
    case 'elapsed':
      if (!wanted || condition.since === 'pitch') return 0
      return condition.atLeast_s + (condition.since === 'target' ? reach_s : 0)
    default:
      return 0
  }
}
