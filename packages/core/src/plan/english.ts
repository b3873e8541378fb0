/**
 * A plan said back in plain English, so that the brewer can hear whether the file says what they meant.
 *
 * One paragraph for the plan, one for its limits, one for control settings that the plan sets, then one for each stage,
 * and one for the end.
 * Nothing that the plan does is left out, and nothing is said that it does not do.
 */
import type { DisplayUnits } from '../units/display.ts'
import { formatPercent, formatRate, formatTemperature, spellDuration } from '../units/format.ts'
import type { Branch, Course, Destination, Limits, Plan, Stage, Task } from './plan.ts'
import { quantitiesOf } from './quantities-of.ts'
import { looksBack, nameQuantity, sayCondition, type Wording, wordingOf } from './say-condition.ts'
import { sayControl } from './say-control.ts'

export function describePlan(plan: Plan, units: DisplayUnits): readonly string[] {
  const wording = wordingOf(plan.side, units)
  return [
    sayOpening(plan),
    ...sayLimits(plan.limits, wording),
    ...sayPlanControl(plan, wording),
    ...plan.stages.map(({ name }, index) => `${name}: ${saySentences(plan, index, wording).join(' ')}`),
    ...(plan.stages.length === 0 ? [] : [sayEnd(wording, plan)]),
  ]
}

function sayOpening(plan: Plan): string {
  const kind = plan.side === 'hot side' ? 'A hot-side plan' : 'A plan'
  const names = plan.stages.map(stage => stage.name)
  if (names.length === 0) return `${plan.name}. ${kind} without stages.`
  if (names.length === 1) return `${plan.name}. ${kind} with one stage: ${names[0]}.`
  return `${plan.name}. ${kind} in ${names.length} stages: ${listOf(names, 'and')}.`
}

function sayLimits(limits: Limits, wording: Wording): readonly string[] {
  const { units, subject } = wording
  const lowest =
    limits.lowest_C === undefined ? null : formatTemperature(limits.lowest_C, units, 'as written')
  const highest =
    limits.highest_C === undefined ? null : formatTemperature(limits.highest_C, units, 'as written')
  if (lowest === null && highest === null) return []
  const cools = `nothing cools ${subject} below ${lowest}`
  const heats = `nothing heats ${subject} above ${highest}`
  const response = {
    alarm: 'raise an alarm and carry on',
    hold: 'raise an alarm, stay in the stage and keep the temperature',
    'switch off': 'raise an alarm, stay in the stage and switch everything off',
  }[limits.ifBroken]
  const never = lowest === null ? heats : highest === null ? cools : `${cools}, and ${heats}`
  const broken =
    lowest === null
      ? `above ${highest}`
      : highest === null
        ? `below ${lowest}`
        : `below ${lowest} or above ${highest}`
  return [`Limits: ${never}. If ${subject} is ${broken} all the same, ${response}.`]
}

function sayPlanControl(plan: Plan, wording: Wording): readonly string[] {
  const clauses = sayControl(plan.control, wording)
  return clauses.length === 0 ? [] : [`Control, unless a stage says otherwise: ${clauses.join('; ')}.`]
}

/** A beer stays a beer when the plan is done; a kettle does not have to stay hot. */
function sayEnd({ subject }: Wording, { side }: Plan): string {
  return side === 'fermentation'
    ? `When the plan has ended, ${subject} is kept as in its last stage until the batch is stopped.`
    : 'When the plan has ended, everything is switched off.'
}

/** One stage in sentences, without its name. */
export function describeStage(plan: Plan, index: number, units: DisplayUnits): readonly string[] {
  return saySentences(plan, index, wordingOf(plan.side, units)).map(capital)
}

function saySentences(plan: Plan, index: number, wording: Wording): readonly string[] {
  const stage = plan.stages[index]!
  const following = plan.stages[index + 1]?.name ?? null
  return [
    sayCourseAndEnd(stage, following, wording),
    ...sayAsking(stage, following),
    ...sayBranches(stage.branches, following, wording),
    ...sayLate(stage, following),
    ...sayUnknown(stage, following, wording),
    ...stage.tasks.map(task => sayTask(task, wording)),
    ...sayStageControl(stage, wording),
  ]
}

/** "go on to Crash", "end the plan". */
function goTo(destination: Destination, following: string | null): string {
  if (destination.kind === 'stage')
    return destination.name === following ? `go on to ${following}` : `go to ${destination.name}`
  return destination.kind === 'following' && following !== null ? `go on to ${following}` : 'end the plan'
}

function sayCourseAndEnd(stage: Stage, following: string | null, wording: Wording): string {
  const { course, until } = stage
  const does = sayCourse(course, wording)
  if (until === undefined) {
    if (stage.atMost_s !== undefined) {
      return `${does}. After ${spellDuration(stage.atMost_s)}, ${sayLateResponse(stage, following)}.`
    }
    return stage.branches.length === 0
      ? `${does}. Nothing in the plan ends this stage.`
      : `${does}. Only what follows ends this stage.`
  }
  const condition = sayCondition(until, wording)
  const on = goTo(stage.next, following)
  // A list of parts would be torn apart by words behind it, and "bring it to 21 °C until" makes no sense.
  const reads = (course.kind === 'hold' || course.kind === 'leave alone') && !condition.includes(': ')
  if (reads) return stage.askFirst ? `${does} until ${condition}.` : `${does} until ${condition}. Then ${on}.`
  return stage.askFirst
    ? `${does}. The stage is ready to end as soon as ${condition}.`
    : `${does}. ${capital(on)} as soon as ${condition}.`
}

function sayCourse(course: Course, wording: Wording): string {
  const { units, subject } = wording
  const at = (t_C: number): string => formatTemperature(t_C, units, 'as written')
  switch (course.kind) {
    case 'hold':
      return `hold ${subject} at ${at(course.target_C)}`
    case 'ramp': {
      const from = course.from_C === undefined ? '' : ` from ${at(course.from_C)}`
      const pace =
        course.over_s !== undefined
          ? ` evenly over ${spellDuration(course.over_s)}`
          : course.rate_K_per_s !== undefined
            ? ` at ${sayRate(course.rate_K_per_s, units)}`
            : ''
      return `bring ${subject}${from} to ${at(course.to_C)}${pace} and keep it there`
    }
    case 'free rise': {
      const heating =
        course.lowest_C === undefined
          ? 'The heater stays off'
          : `The heater only keeps ${subject} from falling below ${at(course.lowest_C)}`
      return `let ${subject} warm up by itself, to no more than ${at(course.cap_C)}: only there does the cooler start. ${heating}`
    }
    case 'leave alone':
      return `neither heat nor cool ${subject}`
    case 'boil':
      return `boil with the heater at ${formatPercent(course.power, 'as written')} of its power; the boil counts as reached at ${at(course.from_C)}`
  }
}

/** "1 °C an hour" */
function sayRate(rate_K_per_s: number, units: DisplayUnits): string {
  return formatRate(rate_K_per_s, units)
    .replace('/min', ' a minute')
    .replace('/h', ' an hour')
    .replace('/d', ' a day')
}

function sayAsking(stage: Stage, following: string | null): readonly string[] {
  if (!stage.askFirst || stage.until === undefined) return []
  return [`Then ${sayQuestion(stage.question, goTo(stage.next, following))}`]
}

function sayQuestion(question: string | undefined, on: string): string {
  return question === undefined
    ? `ask the brewer whether to ${on}, and do it when the answer is yes.`
    : `ask the brewer: “${question}” When the answer is yes, ${on}.`
}

/** Branches are looked at in order, before the stage's own condition. */
function sayBranches(
  branches: readonly Branch[],
  following: string | null,
  wording: Wording,
): readonly string[] {
  return branches.map((branch, index) => {
    const opening = index === 0 ? 'Looked at first' : 'Looked at next'
    const on = goTo(branch.destination, following)
    const condition = sayCondition(branch.when, wording)
    if (!branch.askFirst) return `${opening}: ${on} as soon as ${condition}.`
    return `${opening}: ask the brewer as soon as ${condition}. ${sayBranchQuestion(branch.question, on)}`
  })
}

function sayBranchQuestion(question: string | undefined, on: string): string {
  const asked = question === undefined ? '' : `The question is: “${question}” `
  return `${asked}When the answer is yes, ${on}.`
}

function sayLate(stage: Stage, following: string | null): readonly string[] {
  if (stage.until === undefined || stage.atMost_s === undefined) return []
  const time = spellDuration(stage.atMost_s)
  return [`If the stage has not ended after ${time}, ${sayLateResponse(stage, following)}.`]
}

function sayLateResponse(stage: Stage, following: string | null): string {
  const response = stage.ifLate
  const on = goTo(stage.next, following)
  switch (response.kind) {
    case 'ask':
      return `ask the brewer whether to ${on}`
    case 'go on':
      return stage.until === undefined ? on : `${on} all the same`
    case 'hold':
      return 'stay in the stage, keep the temperature, raise an alarm and wait for the brewer'
    case 'go to':
      return goTo(response.destination, following)
  }
}

function sayUnknown(stage: Stage, following: string | null, wording: Wording): readonly string[] {
  const { ifUnknown, until } = stage
  if (ifUnknown === undefined || until === undefined) return []
  const names = quantitiesOf(until).map(quantity => nameQuantity(quantity, wording))
  const time = spellDuration(ifUnknown.wait_s)
  // Other conditions may be decided although a quantity is unknown, or undecided although it is known now.
  const isDirect = until.kind === 'compare' || until.kind === 'near target' || until.kind === 'attenuation'
  const missing = looksBack(until) ? 'is unknown or has not been known for long enough' : 'is unknown'
  const because = names.length === 0 ? '' : ` because ${listOf(names, 'or')} ${missing}`
  const when =
    isDirect && names.length === 1
      ? `If ${names[0]} is unknown for ${time}`
      : `If for ${time} this can not be decided${because}`
  switch (ifUnknown.then.kind) {
    case 'ask':
      return [`${when}, ask the brewer whether to ${goTo(stage.next, following)}.`]
    case 'hold':
      return [`${when}, stay in the stage, keep the temperature, raise an alarm and wait for the brewer.`]
    case 'use': {
      const instead = sayCondition(ifUnknown.then.instead, wording)
      return [`${when}, another condition counts for as long as that lasts: ${instead}.`]
    }
  }
}

function sayTask(task: Task, wording: Wording): string {
  const told =
    task.when === undefined
      ? `At the beginning, tell the brewer: “${task.name}”.`
      : `Tell the brewer “${task.name}” as soon as ${sayCondition(task.when, wording)}.`
  return task.wait ? `${told} The stage can not end before the brewer has answered that it is done.` : told
}

function sayStageControl(stage: Stage, wording: Wording): readonly string[] {
  const clauses = sayControl(stage.control, wording)
  return clauses.length === 0 ? [] : [`In this stage, ${clauses.join('; ')}.`]
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}

function listOf(names: readonly string[], joint: string): string {
  if (names.length <= 1) return names.join('')
  return `${names.slice(0, -1).join(', ')} ${joint} ${names[names.length - 1]}`
}
