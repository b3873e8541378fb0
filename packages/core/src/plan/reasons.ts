import type { DisplayUnits } from '../units/display.ts'
import type { Plan, Stage } from './plan.ts'
import { sayCondition, type Wording, wordingOf } from './say-condition.ts'

/** Why a stage may end, in words, for whoever has to tell that it did (report/sentences). */
export interface StageReasons {
  readonly until?: string
  /** The condition that stands in while `until` is unknown. */
  readonly instead?: string
  /** By destination stage, where only one branch leads there. */
  readonly branchTo: Readonly<Record<string, string>>
  readonly atMost_s?: number
}

/** By name of the stage. */
export function sayReasons(plan: Plan, units: DisplayUnits): Readonly<Record<string, StageReasons>> {
  const wording = wordingOf(plan.side, units)
  return Object.fromEntries(
    plan.stages.map((stage, index) => [stage.name, reasonsOf(plan, stage, index, wording)]),
  )
}

function reasonsOf(plan: Plan, stage: Stage, index: number, wording: Wording): StageReasons {
  const destinations = stage.branches.map(({ destination }) =>
    destination.kind === 'stage'
      ? destination.name
      : destination.kind === 'following'
        ? plan.stages[index + 1]?.name
        : undefined,
  )
  const branchTo = stage.branches.flatMap((branch, number): [string, string][] => {
    const name = destinations[number]
    const alone = destinations.filter(other => other === name).length === 1
    return name !== undefined && alone ? [[name, sayCondition(branch.when, wording)]] : []
  })
  const then = stage.ifUnknown?.then
  return {
    branchTo: Object.fromEntries(branchTo),
    ...(stage.until === undefined ? {} : { until: sayCondition(stage.until, wording) }),
    ...(then?.kind === 'use' ? { instead: sayCondition(then.instead, wording) } : {}),
    ...(stage.atMost_s === undefined ? {} : { atMost_s: stage.atMost_s }),
  }
}
