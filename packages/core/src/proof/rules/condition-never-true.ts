import type { Complaint, Rule } from '../rule.ts'
import { isBarred } from '../ways.ts'

const NAMES = {
  condition: 'its condition',
  branch: 'this branch',
  'unknown response': 'the condition to use instead',
  'longest time': 'its longest time',
} as const

export const conditionNeverTrue: Rule = {
  code: 'condition-never-true',
  severity: 'warning',
  title:
    'A condition that can never be true: contradictory bounds, a task never given before, a gravity out of reach. An error where the stage has no other way out.',
  why: 'The stage would only end by its longest time, or never.',
  check: context =>
    context.plan.stages.flatMap((stage, number) => {
      if (!context.reachable[number]) return []
      const ways = context.ways[number]!
      const isTrapped = ways.every(isBarred)
      const complaints: Complaint[] = ways.flatMap(way => {
        const ofTheBeer = way.never && !way.never.certain
        // A branch may wait for what is not expected: that is what it is for.
        if (!way.never || (ofTheBeer && way.by === 'branch')) return []
        return [
          {
            severity: isTrapped ? ('error' as const) : ('warning' as const),
            file: 'plan' as const,
            place: way.condition?.place ?? way.place,
            message: `In '${stage.name}' ${NAMES[way.by]} ${ofTheBeer ? 'will hardly' : 'can never'} be true, because ${way.never.why}.`,
            cure: isTrapped
              ? 'Change the numbers so that it can come true; as it stands the stage never ends.'
              : 'Change the numbers so that it can come true, or take it out.',
          },
        ]
      })
      for (const task of stage.tasks) {
        const never = !task.wait && task.when ? context.neverIn(number, task.when) : null
        if (never?.certain)
          complaints.push({
            file: 'plan',
            place: task.when!.place,
            message: `In '${stage.name}' the task '${task.name}' is never given, because ${never.why}.`,
            cure: 'Change the numbers so that its condition can come true, or take it out.',
          })
      }
      return complaints
    }),
}
