/**
 * A plan back to text, in the syntax of the house and in the units of the brewer: short, and so exact that reading it
 * gives the same plan again (apart from places; in °F and °P to within 1e-9). What is left out is what the reader would
 * put there by itself. Comments of the original text are not kept, because a plan does not hold them.
 */
import type { DisplayUnits } from '../units/display.ts'
import type { Branch, ControlSettings, Course, Destination, Limits, Plan, Stage, Task } from './plan.ts'
import { conditionTree } from './print-condition.ts'
import { printQuantity } from './print-quantity.ts'
import { type Mapping, mapping, printMapping, type Tree } from './print-yaml.ts'

export function printPlan(plan: Plan, units: DisplayUnits): string {
  const head = mapping({
    plan: plan.name,
    side: plan.side === 'fermentation' ? undefined : plan.side,
    limits: limitsTree(plan.limits, units),
    control: controlTree(plan.control, units),
  })
  const stages = plan.stages.map(stage => {
    const [first, ...rest] = printMapping(stageTree(stage, plan.side, units), 4)
    return [`  - ${first!.trimStart()}`, ...rest].join('\n')
  })
  return `${printMapping(head, 0).join('\n')}\n\nstages:\n${stages.join('\n\n')}\n`
}

function limitsTree(limits: Limits, units: DisplayUnits): Mapping | undefined {
  const tree = mapping({
    lowest: optional(limits.lowest_C, 'temperature', units),
    highest: optional(limits.highest_C, 'temperature', units),
    'if broken': limits.ifBroken === 'alarm' ? undefined : limits.ifBroken,
  })
  return unlessEmpty(tree)
}

function stageTree(stage: Stage, side: Plan['side'], units: DisplayUnits): Mapping {
  const late: Tree | undefined =
    stage.ifLate.kind === 'go to'
      ? mapping({ 'go to': destinationName(stage.ifLate.destination) })
      : stage.ifLate.kind
  return mapping({
    stage: stage.name,
    ...courseEntry(stage.course, side, units),
    until: stage.until === undefined ? undefined : conditionTree(stage.until, units),
    then: destinationName(stage.next),
    'ask first': askingTree(stage),
    'at most': optional(stage.atMost_s, 'duration', units),
    // Being asked is the usual response, but a longest time without its consequence reads badly.
    'if late': late === 'ask' && stage.atMost_s === undefined ? undefined : late,
    'if unknown': unknownTree(stage, units),
    branches: unlessNone(stage.branches.map(branch => branchTree(branch, units))),
    tasks: unlessNone(stage.tasks.map(task => taskTree(task, units))),
    control: controlTree(stage.control, units),
  })
}

function courseEntry(
  course: Course,
  side: Plan['side'],
  units: DisplayUnits,
): Readonly<Record<string, Tree>> {
  const temperature = (t_C: number): string => printQuantity(t_C, 'temperature', units)
  switch (course.kind) {
    case 'hold':
      return { [side === 'hot side' ? 'rest' : 'hold']: temperature(course.target_C) }
    case 'ramp':
      return {
        ramp: mapping({
          from: optional(course.from_C, 'temperature', units),
          to: temperature(course.to_C),
          over: optional(course.over_s, 'duration', units),
          at: optional(course.rate_K_per_s, 'temperature rate', units),
        }),
      }
    case 'free rise': {
      const lowest = optional(course.lowest_C, 'temperature', units)
      return { 'free rise': mapping({ to: temperature(course.cap_C), 'not below': lowest }) }
    }
    case 'leave alone':
      return { 'leave alone': 'true' }
    case 'boil': {
      const power = printQuantity(course.power, 'share', units)
      return { boil: course.from_C === 100 ? power : mapping({ power, from: temperature(course.from_C) }) }
    }
  }
}

/** undefined for the following stage, which needs no word. */
function destinationName(destination: Destination): string | undefined {
  if (destination.kind === 'following') return undefined
  return destination.kind === 'finish' ? 'finish' : destination.name
}

function askingTree(asking: { readonly askFirst: boolean; readonly question?: string }): string | undefined {
  return asking.askFirst ? (asking.question ?? 'true') : undefined
}

function unknownTree({ ifUnknown }: Stage, units: DisplayUnits): Mapping | undefined {
  if (ifUnknown === undefined) return undefined
  const wait = printQuantity(ifUnknown.wait_s, 'duration', units)
  return ifUnknown.then.kind === 'use'
    ? mapping({ wait, use: conditionTree(ifUnknown.then.instead, units) })
    : mapping({ wait, then: ifUnknown.then.kind })
}

function branchTree(branch: Branch, units: DisplayUnits): Mapping {
  return mapping({
    when: conditionTree(branch.when, units),
    'go to': destinationName(branch.destination),
    'ask first': askingTree(branch),
  })
}

function taskTree(task: Task, units: DisplayUnits): Tree {
  if (task.when === undefined && !task.wait) return task.name
  return mapping({
    task: task.name,
    when: task.when === undefined ? undefined : conditionTree(task.when, units),
    wait: task.wait ? 'true' : undefined,
  })
}

function controlTree(settings: Partial<ControlSettings>, units: DisplayUnits): Mapping | undefined {
  const difference = (value_K: number | undefined): string | undefined =>
    optional(value_K, 'temperature difference', units)
  const tree = mapping({
    method: settings.method,
    heat: unlessEmpty(
      mapping({ start: difference(settings.heatStart_K), stop: difference(settings.heatStop_K) }),
    ),
    cool: unlessEmpty(
      mapping({ start: difference(settings.coolStart_K), stop: difference(settings.coolStop_K) }),
    ),
    gain: optional(settings.gain_per_K, 'gain', units),
    integral: optional(settings.integral_s, 'duration', units),
    derivative: optional(settings.derivative_s, 'duration', units),
    window: optional(settings.window_s, 'duration', units),
    air: unlessEmpty(
      mapping({
        gain: optional(settings.cascadeGain, 'number', units),
        lowest: optional(settings.airLowest_C, 'temperature', units),
        highest: optional(settings.airHighest_C, 'temperature', units),
      }),
    ),
    'reached within': difference(settings.reached_K),
  })
  return unlessEmpty(tree)
}

function optional(
  value: number | undefined,
  kind: Parameters<typeof printQuantity>[1],
  units: DisplayUnits,
): string | undefined {
  return value === undefined ? undefined : printQuantity(value, kind, units)
}

function unlessEmpty(tree: Mapping): Mapping | undefined {
  return tree.entries.length === 0 ? undefined : tree
}

function unlessNone(trees: readonly Tree[]): readonly Tree[] | undefined {
  return trees.length === 0 ? undefined : trees
}
