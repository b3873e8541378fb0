import type { Place } from '../place.ts'
import type { Condition, Destination, Plan } from '../plan/plan.ts'
import { leastTime_s } from './conditions/least-time.ts'
import type { Never } from './conditions/never.ts'

/** One way out of a stage. Stages are numbered as in the plan; the finish is the number after the last. */
export interface Way {
  readonly from: number
  /** -1: the stage it names does not exist. */
  readonly to: number
  readonly by: 'condition' | 'branch' | 'longest time' | 'unknown response'
  /** None for the longest time, and for a question that is put while the condition is unknown. */
  readonly condition?: Condition
  /** A person decides: also after an alarm, when the batch is held until somebody answers. */
  readonly asks: boolean
  /** Least time in the stage before it can be taken, s. */
  readonly least_s: number
  /** Why it can never be taken; null when nothing speaks against it. */
  readonly never: Never | null
  readonly place: Place
}

export function destinationNumber(
  destination: Destination,
  from: number,
  numbers: ReadonlyMap<string, number>,
  finish: number,
): number {
  switch (destination.kind) {
    case 'following':
      return from + 1
    case 'finish':
      return finish
    case 'stage':
      return numbers.get(destination.name) ?? -1
  }
}

/** All ways out of each stage. `neverIn` says why a condition can never be true in a stage. */
export function listWays(
  plan: Plan,
  numbers: ReadonlyMap<string, number>,
  reach_s: readonly number[],
  neverIn: (stage: number, condition: Condition) => Never | null,
): readonly (readonly Way[])[] {
  const finish = plan.stages.length
  return plan.stages.map((stage, from) => {
    const ways: Way[] = []
    const goal = (destination: Destination) => destinationNumber(destination, from, numbers, finish)
    const reach = reach_s[from] ?? 0
    for (const branch of stage.branches)
      ways.push({
        from,
        to: goal(branch.destination),
        by: 'branch',
        condition: branch.when,
        asks: branch.askFirst,
        least_s: leastTime_s(branch.when, reach),
        never: neverIn(from, branch.when),
        place: branch.place,
      })
    if (stage.until) {
      const never = neverIn(from, stage.until)
      ways.push({
        from,
        to: goal(stage.next),
        by: 'condition',
        condition: stage.until,
        asks: stage.askFirst,
        least_s: leastTime_s(stage.until, reach),
        never,
        place: stage.until.place,
      })
      const response = stage.ifUnknown
      if (response) {
        const instead = response.then.kind === 'use' ? response.then.instead : undefined
        ways.push({
          from,
          to: goal(stage.next),
          by: 'unknown response',
          ...(instead ? { condition: instead } : {}),
          asks: !instead || stage.askFirst,
          least_s: Math.max(response.wait_s, instead ? leastTime_s(instead, reach) : 0),
          never: instead ? neverIn(from, instead) : null,
          place: response.place,
        })
      }
    }
    if (stage.atMost_s !== undefined)
      ways.push({
        from,
        to: goal(stage.ifLate.kind === 'go to' ? stage.ifLate.destination : stage.next),
        by: 'longest time',
        asks: stage.ifLate.kind === 'ask' || stage.ifLate.kind === 'hold',
        least_s: stage.atMost_s,
        never: null,
        place: stage.places.atMost ?? stage.place,
      })
    return ways
  })
}

/** Whether a way out is certain never to be taken, by logic alone. */
export function isBarred(way: Way): boolean {
  return way.to < 0 || way.never?.certain === true
}
