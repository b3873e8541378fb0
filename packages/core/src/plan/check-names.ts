import type { Reading } from '../source-text/reading.ts'
import { nearestWord } from '../units/nearest-word.ts'
import { FINISH } from './destination-shape.ts'
import type { Plan } from './plan.ts'

/** Names of stages and tasks must be unique, and every name that is mentioned must exist. */
export function checkNames(plan: Plan, reading: Reading) {
  const stages = new Map<string, number>()
  for (const { name, places } of plan.stages) {
    if (name === '') continue
    const before = stages.get(name)
    if (before === undefined) {
      stages.set(name, places.name.line)
      continue
    }
    reading.report(
      'duplicate-stage',
      places.name,
      `A stage “${name}” stands already in line ${before}.`,
      `Give each stage a name of its own, for example “${name} 2”.`,
    )
  }
  for (const { name, place } of reading.mentions('stage')) {
    if (stages.has(name)) continue
    const near = nearestWord(name, [...stages.keys(), FINISH])
    reading.report(
      'unknown-stage',
      place,
      `The plan has no stage “${name}”.`,
      near === null
        ? `Write ${FINISH}, or the name of a stage: ${listed(stages.keys())}.`
        : `Did you mean “${near}”?`,
    )
  }
  checkTasks(plan, reading)
}

function checkTasks(plan: Plan, reading: Reading) {
  const tasks = new Map<string, number>()
  for (const task of plan.stages.flatMap(stage => stage.tasks)) {
    const before = tasks.get(task.name)
    if (before === undefined) {
      tasks.set(task.name, task.place.line)
      continue
    }
    reading.report(
      'duplicate-task',
      task.place,
      `A task “${task.name}” stands already in line ${before}.`,
      `Give each task a name of its own, for example “${task.name} again”.`,
    )
  }
  for (const { name, place } of reading.mentions('task')) {
    if (tasks.has(name)) continue
    const near = nearestWord(name, tasks.keys())
    const cure =
      tasks.size === 0 ? 'Add it under “tasks:” of a stage.' : `The tasks are: ${listed(tasks.keys())}.`
    reading.report(
      'unknown-task',
      place,
      `The plan gives no task “${name}”.`,
      near === null ? cure : `Did you mean “${near}”?`,
    )
  }
}

function listed(names: Iterable<string>): string {
  const all = [...names]
  return all.length > 8 ? `${all.slice(0, 8).join(', ')} and ${all.length - 8} more` : all.join(', ')
}
