import type { Complaint, Rule } from '../rule.ts'

export const stageCannotEnd: Rule = {
  code: 'stage-cannot-end',
  severity: 'error',
  title:
    'A stage without an end: no condition, no branch and no longest time, or a task to wait for that is never given.',
  why: 'The batch stays in the stage until somebody notices, and the stages behind it never come.',
  check: context =>
    context.plan.stages.flatMap((stage, number): Complaint[] => {
      if (!context.reachable[number]) return []
      const complaints: Complaint[] = []
      const isLast = number === context.plan.stages.length - 1
      if (context.ways[number]!.length === 0)
        complaints.push({
          severity: isLast ? 'warning' : 'error',
          file: 'plan',
          place: stage.places.name,
          message: isLast
            ? `Nothing ends the last stage '${stage.name}', so that the batch is never complete.`
            : `Nothing ends the stage '${stage.name}', so that the stages after it never come.`,
          cure: isLast
            ? 'If it should be kept so until you package it, add `until: { stage lasted: 2 d }` with `ask first: true`.'
            : 'Say `until:` with a condition, or give it a longest time: `at most: 14 d` and `if late: ask`.',
        })
      for (const task of stage.tasks) {
        const never = task.wait && task.when ? context.neverIn(number, task.when) : null
        if (!never?.certain) continue
        complaints.push({
          file: 'plan',
          place: task.place,
          message: `The stage '${stage.name}' waits for the task '${task.name}', which is never given, because ${never.why}.`,
          cure: 'Give the task at the beginning of the stage, or at a condition that comes, or do not wait for it.',
        })
      }
      return complaints
    }),
}
