import type { Beer } from '../beer/beer.ts'
import { and, FALSE, TRUE, UNKNOWN } from '../engine/kleene.ts'
import type { Condition, Plan, QuantityName, Stage } from '../plan/plan.ts'
import { quantitiesOf } from '../plan/quantities-of.ts'
import { silenceAllowed_s } from '../vessel/timeout.ts'
import type { Instrument, Vessel } from '../vessel/vessel.ts'
import { type Outlook, type Outside, outlook } from './conditions/certainty.ts'
import { atomsOf, conditionsOf } from './conditions/walk.ts'

/** What is proved about one stage while one instrument is silent for good; `instrument` null: all of them work. */
export interface FailureOutcome {
  readonly stage: string
  readonly instrument: string | null
  /** What happens first. */
  readonly outcome: 'ends' | 'asks' | 'alarms' | 'waits for ever'
  /** Time alone sees to it; false: it comes when the beer does what the plan expects, or never. */
  readonly bounded: boolean
  /**
   * At the latest this long after the stage's beginning or the failure, whichever is later, s; null: not bounded, or by
   * the calendar. Of a condition that the beer decides it is the longest time, after which the stage asks, alarms or
   * moves on.
   */
  readonly within_s: number | null
  readonly via:
    | 'condition'
    | 'branch'
    | 'longest time'
    | 'unknown response'
    | 'beer temperature lost'
    | 'nothing'
}

interface Candidate {
  readonly outcome: 'ends' | 'asks' | 'alarms'
  readonly within_s: number | null
  readonly via: Exclude<FailureOutcome['via'], 'nothing'>
}

/**
 * For every stage and every instrument of the vessel failing alone, from any moment on: does the stage end, ask or raise
 * an alarm within a bounded time, or would it wait silently for ever? Worked out from the plan's conditions in
 * three-valued logic, not by simulation. It relies on the beer doing what the plan expects of it, and on the batch
 * being in the stage; it claims nothing about instruments that fail by telling untruths.
 */
export function singleFailureProof(plan: Plan, vessel: Vessel, beer?: Beer): readonly FailureOutcome[] {
  const start_local_s = beer?.start.local_s ?? null
  return plan.stages.flatMap(stage => {
    const asked = quantitiesAskedIn(stage)
    const whole = outcomeOf(stage, vessel, null, start_local_s)
    return vessel.instruments.map(instrument => {
      const isAffected = instrument.channels.some(
        ({ quantity }) => asked.has(quantity) && !isMeasuredWithout(vessel, quantity, instrument),
      )
      return isAffected
        ? outcomeOf(stage, vessel, instrument, start_local_s)
        : { ...whole, instrument: instrument.name }
    })
  })
}

/** The same for one stage while everything works: what if that never comes which the beer decides? */
export function outcomeWithoutFailure(
  stage: Stage,
  vessel: Vessel | undefined,
  beer: Beer | undefined,
): FailureOutcome {
  return outcomeOf(stage, vessel ?? null, null, beer?.start.local_s ?? null)
}

function quantitiesAskedIn(stage: Stage): ReadonlySet<QuantityName> {
  const quantities = new Set<QuantityName>(['beer'])
  for (const condition of conditionsOf(stage))
    for (const atom of atomsOf(condition)) for (const quantity of quantitiesOf(atom)) quantities.add(quantity)
  return quantities
}

function isMeasuredWithout(vessel: Vessel, quantity: QuantityName, failed: Instrument | null): boolean {
  return vessel.instruments.some(
    one => one !== failed && one.channels.some(channel => channel.quantity === quantity),
  )
}

function outcomeOf(
  stage: Stage,
  vessel: Vessel | null,
  failed: Instrument | null,
  start_local_s: number | null,
): FailureOutcome {
  const known = new Map<QuantityName, boolean>()
  const isKnown = (quantity: QuantityName) => {
    const before = known.get(quantity)
    if (before !== undefined) return before
    const now = vessel === null || isMeasuredWithout(vessel, quantity, failed)
    known.set(quantity, now)
    return now
  }
  const silence_s = failed ? silenceAllowed_s(failed) : 0
  const isBeerLost = failed !== null && isMeasuredWithout(vessel!, 'beer', null) && !isKnown('beer')
  const all = candidates(stage, outsideOf(stage, isKnown, start_local_s), silence_s)
  if (isBeerLost) all.push({ outcome: 'alarms', within_s: silence_s, via: 'beer temperature lost' })

  const base = { stage: stage.name, instrument: failed?.name ?? null }
  const first = soonest(all.filter(one => one.via !== 'beer temperature lost')) ?? soonest(all)
  if (!first) return { ...base, outcome: 'waits for ever', bounded: false, within_s: null, via: 'nothing' }
  // When the condition itself still comes, the longest time only says how late that can be.
  const byCondition = all.find(one => one.via === 'condition')
  if (byCondition && first.via === 'longest time' && byCondition.within_s === null)
    return { ...base, ...byCondition, bounded: true, within_s: first.within_s }
  return { ...base, ...first, bounded: first.within_s !== null, within_s: finite(first.within_s) }
}

/** By the calendar, but how long after the stage's beginning is not known. */
function finite(time_s: number | null): number | null {
  return time_s !== null && Number.isFinite(time_s) ? time_s : null
}

function soonest(all: readonly Candidate[]): Candidate | undefined {
  return all.reduce<Candidate | undefined>(
    (best, one) =>
      !best || (one.within_s ?? Number.POSITIVE_INFINITY) < (best.within_s ?? Number.POSITIVE_INFINITY)
        ? one
        : best,
    undefined,
  )
}

function candidates(stage: Stage, outside: Outside, silence_s: number): Candidate[] {
  const tasks = waitForTasks(stage, outside)
  const found: Candidate[] = []
  /** A stage is not left before its waiting tasks have been given, and each of them asks. */
  const add = (outcome: 'ends' | 'asks', within_s: number | null, via: Candidate['via']) => {
    if (tasks.truth === TRUE) found.push({ outcome, within_s: later(within_s, tasks.within_s), via })
  }

  for (const branch of stage.branches) {
    const { within_s } = outlook(branch.when, outside)
    // A branch that waits for the beer is an alternative that need not come; only time makes it certain.
    if (within_s !== null) add(leaving(branch.askFirst, branch.when), within_s, 'branch')
  }
  if (stage.until) {
    const { truth, within_s, notFalse_s } = outlook(stage.until, outside)
    if (truth === TRUE) add(leaving(stage.askFirst, stage.until), within_s, 'condition')
    if (truth === UNKNOWN && stage.ifUnknown && !isDaily(stage.until)) {
      const { wait_s, then } = stage.ifUnknown
      const response_s = notFalse_s === null ? null : notFalse_s + wait_s + silence_s
      if (then.kind === 'use') {
        const instead = outlook(then.instead, outside)
        if (instead.truth === TRUE)
          add(leaving(stage.askFirst, then.instead), later(response_s, instead.within_s), 'unknown response')
      } else {
        const outcome = then.kind === 'ask' ? 'asks' : 'alarms'
        found.push({ outcome, within_s: response_s, via: 'unknown response' })
      }
    }
  }
  if (stage.atMost_s !== undefined) {
    if (stage.ifLate.kind === 'ask' || stage.ifLate.kind === 'hold') {
      const outcome = stage.ifLate.kind === 'ask' ? 'asks' : 'alarms'
      found.push({ outcome, within_s: stage.atMost_s, via: 'longest time' })
    } else add('ends', stage.atMost_s, 'longest time')
  }
  return found
}

function later(a: number | null, b: number | null): number | null {
  return a === null || b === null ? null : Math.max(a, b)
}

/** A condition that waits for a task's answer ends with a person as much as one that asks first. */
function leaving(asksFirst: boolean, condition: Condition): 'ends' | 'asks' {
  return asksFirst || has(condition, 'done') ? 'asks' : 'ends'
}

/** A window of the day closes every day, so that nothing is unknown for long without a break. */
function isDaily(condition: Condition): boolean {
  return has(condition, 'time of day')
}

function has(condition: Condition, kind: Condition['kind']): boolean {
  for (const atom of atomsOf(condition)) if (atom.kind === kind) return true
  return false
}

function outsideOf(
  stage: Stage,
  isKnown: (quantity: QuantityName) => boolean,
  start_local_s: number | null,
): Outside {
  const given = new Map(stage.tasks.map(task => [task.name, task]))
  const open = new Set<string>()
  const answered = new Map<string, Outlook>()
  const outside: Outside = {
    isKnown,
    hasTarget: stage.course.kind !== 'leave alone',
    start_local_s,
    // A task of an earlier stage was given there, and the brewer has been asked.
    taskOutlook: name => {
      const before = answered.get(name)
      if (before) return before
      if (open.has(name)) return { truth: FALSE, within_s: null, notFalse_s: null }
      open.add(name)
      const when = given.get(name)?.when
      const now = when ? outlook(when, outside) : { truth: TRUE, within_s: 0, notFalse_s: 0 }
      open.delete(name)
      answered.set(name, now)
      return now
    },
  }
  return outside
}

/** What becomes of the tasks without which the stage can not be left. */
function waitForTasks(stage: Stage, outside: Outside): Outlook {
  const waiting = stage.tasks.filter(task => task.wait).map(task => outside.taskOutlook(task.name))
  return waiting.reduce<Outlook>(
    (all, task) => ({
      truth: and(all.truth, task.truth),
      within_s: later(all.within_s, task.within_s),
      notFalse_s: null,
    }),
    { truth: TRUE, within_s: 0, notFalse_s: null },
  )
}
