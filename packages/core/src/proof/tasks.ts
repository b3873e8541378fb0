import type { Condition, Plan, Task } from '../plan/plan.ts'
import type { Never } from './conditions/never.ts'
import { atomsOf } from './conditions/walk.ts'
import type { Way } from './ways.ts'

/** Whether somebody can have answered a task when this stage runs. */
export type TaskCanBeDone = (stage: number, task: string) => boolean

interface Given {
  readonly stage: number
  readonly task: Task
}

/**
 * Which tasks can ever be given, and from which stage on. A task may wait for another one's answer: starting from none,
 * tasks are added for as long as their conditions allow it; two that wait for each other never come.
 *
 * "Given before" is judged by the lowest stage number that can follow the giving stage: exact for plans that only go
 * forward, and for others it may think a task possible that is not, never the other way round.
 */
export function findTasksThatCome(
  plan: Plan,
  ways: readonly (readonly Way[])[],
  neverIn: (stage: number, condition: Condition, taskCanBeDone: TaskCanBeDone) => Never | null,
): TaskCanBeDone {
  const lowest = lowestThatFollows(ways)
  const from = new Map<string, number>()
  const taskCanBeDone: TaskCanBeDone = (stage, task) => (from.get(task) ?? Number.POSITIVE_INFINITY) <= stage

  const all: Given[] = plan.stages.flatMap((stage, number) =>
    stage.tasks.map(task => ({ stage: number, task })),
  )
  const waitingFor = new Map<string, Given[]>()
  for (const given of all)
    for (const atom of given.task.when ? atomsOf(given.task.when) : []) {
      if (atom.kind !== 'done') continue
      const sleepers = waitingFor.get(atom.task)
      if (sleepers) sleepers.push(given)
      else waitingFor.set(atom.task, [given])
    }

  const open = [...all].reverse()
  while (open.length > 0) {
    const { stage, task } = open.pop()!
    const first = lowest[stage]!
    if ((from.get(task.name) ?? Number.POSITIVE_INFINITY) <= first) continue
    if (task.when && neverIn(stage, task.when, taskCanBeDone)?.certain) continue
    from.set(task.name, first)
    open.push(...(waitingFor.get(task.name) ?? []))
  }
  return taskCanBeDone
}

/** By stage: the lowest stage number that it can lead to, itself included. */
function lowestThatFollows(ways: readonly (readonly Way[])[]): readonly number[] {
  const into: number[][] = ways.map(() => [])
  for (const way of ways.flat()) into[way.to]?.push(way.from)
  const lowest = ways.map(() => -1)
  for (let number = 0; number < ways.length; number++) {
    const open = [number]
    while (open.length > 0) {
      const stage = open.pop()!
      if (lowest[stage] !== -1) continue
      lowest[stage] = number
      open.push(...into[stage]!)
    }
  }
  return lowest
}
