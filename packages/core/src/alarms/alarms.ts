import { type AlarmCode, alarmKind } from './catalogue.ts'
import type { AlarmCondition } from './conditions-of.ts'

/**
 * States of an alarm as in ISA-18.2 / IEC 62682. What is not in the list is normal. `pending`: its condition is there,
 * but has not lasted long enough to be raised.
 */
export type AlarmState = 'pending' | 'active' | 'acknowledged' | 'returned' | 'shelved'

export interface Alarm extends AlarmCondition {
  readonly state: AlarmState
  /** Since when its condition has been there without a break longer than the off-delay, s; counted anew after `returned`. */
  readonly since_s: number
  /** Since when its condition has been away; null: it is there. */
  readonly awaySince_s: number | null
  readonly raisedAt_s: number | null
  /** Shelved until then. */
  readonly shelvedUntil_s: number | null
}

/** What somebody does to an alarm. */
export type AlarmAction =
  | { readonly kind: 'acknowledge'; readonly code: AlarmCode; readonly subject: string }
  | { readonly kind: 'shelve'; readonly code: AlarmCode; readonly subject: string; readonly until_s: number }
  | { readonly kind: 'unshelve'; readonly code: AlarmCode; readonly subject: string }

/** A change that is to be told: the alarm as it is now. */
export interface AlarmNotice {
  readonly at_s: number
  readonly alarm: Alarm
  readonly change: 'raised' | 'acknowledged' | 'returned' | 'cleared' | 'shelved' | 'unshelved'
}

export interface AlarmStep {
  readonly alarms: readonly Alarm[]
  readonly notices: readonly AlarmNotice[]
  /** When the step should be made again even if nothing else happens. */
  readonly wakeAt_s: number
}

const keyOf = ({ code, subject }: { readonly code: AlarmCode; readonly subject: string }) =>
  `${code}|${subject}`

/**
 * One step of a batch's alarms: pure, so that a rehearsal can count false alarms with the same code that rings at night.
 * A consequence is not raised while its cause is so, or is raised and has not returned (also when the cause itself has not
 * lasted long enough to ring); it is looked at again when the cause has returned or gone.
 */
export function stepAlarms(
  kept: readonly Alarm[],
  conditions: readonly AlarmCondition[],
  actions: readonly AlarmAction[],
  now_s: number,
): AlarmStep {
  const before = kept.map(alarm => atMostNow(alarm, now_s))
  const present = new Map(conditions.map(condition => [keyOf(condition), condition]))
  const known = new Set(before.map(keyOf))
  const started = conditions.filter(condition => !known.has(keyOf(condition)))
  const all = [...before, ...started.map(condition => newAlarm(condition, now_s))]
  const holding = new Set(
    all.filter(alarm => isSounding(alarm.state) || present.has(keyOf(alarm))).map(({ code }) => code),
  )
  // Those without causes first: what somebody reads first should be the cause.
  const ordered = all.toSorted((a, b) => alarmKind(a.code).causes.length - alarmKind(b.code).causes.length)
  const notices: AlarmNotice[] = []
  const alarms: Alarm[] = []
  let wakeAt_s = Number.POSITIVE_INFINITY
  for (const alarm of ordered) {
    const action = actions.find(each => keyOf(each) === keyOf(alarm))
    const isSuppressed = alarmKind(alarm.code).causes.some(cause => holding.has(cause))
    const condition = present.get(keyOf(alarm))
    const told = condition?.detail === undefined ? alarm : { ...alarm, detail: condition.detail }
    const step = stepOne(told, condition !== undefined, isSuppressed, action, now_s)
    if (step.change !== null) notices.push({ at_s: now_s, alarm: step.alarm, change: step.change })
    if (!step.isOver) alarms.push(step.alarm)
    // What has gone or returned no longer keeps its consequences quiet: they are looked at again in a second.
    const isQuiet = step.isOver || (holdsQuiet(alarm) && !holdsQuiet(step.alarm))
    wakeAt_s = Math.min(wakeAt_s, isQuiet ? now_s + 1 : step.wakeAt_s)
  }
  return { alarms, notices, wakeAt_s }
}

/** An alarm is off the shelf after so long at the latest, s. */
export const LONGEST_SHELF_S = 7 * 86_400

/**
 * A clock that was ahead and has been put right must not keep an alarm quiet until it has caught up: what is still to come
 * was so from now on.
 */
function atMostNow(alarm: Alarm, now_s: number): Alarm {
  const { since_s, awaySince_s, raisedAt_s, shelvedUntil_s } = alarm
  const isRight =
    since_s <= now_s &&
    (awaySince_s ?? now_s) <= now_s &&
    (raisedAt_s ?? now_s) <= now_s &&
    (shelvedUntil_s ?? now_s) <= now_s + LONGEST_SHELF_S
  if (isRight) return alarm
  const past = <T extends number | null>(at_s: T) => (at_s === null ? at_s : Math.min(at_s, now_s)) as T
  return {
    ...alarm,
    since_s: past(since_s),
    awaySince_s: past(awaySince_s),
    raisedAt_s: past(raisedAt_s),
    shelvedUntil_s: shelvedUntil_s === null ? null : Math.min(shelvedUntil_s, now_s + LONGEST_SHELF_S),
  }
}

/** Somebody has been told, and it is still so: its consequences need not be told as well. */
function isSounding(state: AlarmState): boolean {
  return state !== 'pending' && state !== 'returned'
}

function holdsQuiet(alarm: Alarm): boolean {
  return isSounding(alarm.state) || alarm.awaySince_s === null
}

function newAlarm(condition: AlarmCondition, now_s: number): Alarm {
  return {
    ...condition,
    state: 'pending',
    since_s: now_s,
    awaySince_s: null,
    raisedAt_s: null,
    shelvedUntil_s: null,
  }
}

interface OneStep {
  readonly alarm: Alarm
  readonly change: AlarmNotice['change'] | null
  readonly isOver: boolean
  readonly wakeAt_s: number
}

function stepOne(
  before: Alarm,
  isPresent: boolean,
  isSuppressed: boolean,
  action: AlarmAction | undefined,
  now_s: number,
): OneStep {
  const { onDelay_s, offDelay_s } = alarmKind(before.code)
  const awaySince_s = isPresent ? null : (before.awaySince_s ?? now_s)
  const alarm: Alarm = { ...before, awaySince_s }
  const isAway = awaySince_s !== null && now_s >= awaySince_s + offDelay_s
  const back_s = awaySince_s === null ? Number.POSITIVE_INFINITY : awaySince_s + offDelay_s
  const never = Number.POSITIVE_INFINITY
  if (alarm.state === 'pending') {
    if (awaySince_s !== null) return { alarm, change: null, isOver: true, wakeAt_s: never }
    const due_s = alarm.since_s + onDelay_s
    if (now_s < due_s || isSuppressed) {
      return { alarm, change: null, isOver: false, wakeAt_s: isSuppressed ? never : due_s }
    }
    return {
      alarm: { ...alarm, state: 'active', raisedAt_s: now_s },
      change: 'raised',
      isOver: false,
      wakeAt_s: never,
    }
  }
  if (action?.kind === 'shelve') {
    const shelved: Alarm = { ...alarm, state: 'shelved', shelvedUntil_s: action.until_s }
    return { alarm: shelved, change: 'shelved', isOver: false, wakeAt_s: action.until_s }
  }
  if (alarm.state === 'shelved') {
    if (now_s < alarm.shelvedUntil_s! && action?.kind !== 'unshelve')
      return { alarm, change: null, isOver: false, wakeAt_s: alarm.shelvedUntil_s! }
    const woken: Alarm = { ...alarm, state: 'active', shelvedUntil_s: null }
    return { alarm: woken, change: isAway ? 'cleared' : 'unshelved', isOver: isAway, wakeAt_s: back_s }
  }
  if (alarm.state === 'returned') {
    return stepReturned(before, alarm, isSuppressed, action?.kind === 'acknowledge', now_s)
  }
  if (isAway) {
    const isSeen = alarm.state === 'acknowledged' || action?.kind === 'acknowledge'
    const isOver = isSeen || alarmKind(alarm.code).endsByItself === true
    return {
      alarm: { ...alarm, state: 'returned' },
      change: isOver ? 'cleared' : 'returned',
      isOver,
      wakeAt_s: never,
    }
  }
  if (action?.kind === 'acknowledge' && alarm.state === 'active') {
    return {
      alarm: { ...alarm, state: 'acknowledged' },
      change: 'acknowledged',
      isOver: false,
      wakeAt_s: back_s,
    }
  }
  return { alarm, change: null, isOver: false, wakeAt_s: back_s }
}

/** What comes back must last as long as the first time, so that an instrument that is lost and found all night rings once. */
function stepReturned(
  before: Alarm,
  alarm: Alarm,
  isSuppressed: boolean,
  isSeen: boolean,
  now_s: number,
): OneStep {
  const never = Number.POSITIVE_INFINITY
  if (alarm.awaySince_s !== null) {
    return { alarm, change: isSeen ? 'cleared' : null, isOver: isSeen, wakeAt_s: never }
  }
  const since_s = before.awaySince_s === null ? alarm.since_s : now_s
  const due_s = since_s + alarmKind(alarm.code).onDelay_s
  const wakeAt_s = isSuppressed ? never : due_s
  if (isSeen) {
    const anew: Alarm = { ...alarm, state: 'pending', since_s, raisedAt_s: null }
    return { alarm: anew, change: 'cleared', isOver: false, wakeAt_s }
  }
  if (isSuppressed || now_s < due_s) {
    return { alarm: { ...alarm, since_s }, change: null, isOver: false, wakeAt_s }
  }
  return {
    alarm: { ...alarm, state: 'active', since_s, raisedAt_s: now_s },
    change: 'raised',
    isOver: false,
    wakeAt_s: never,
  }
}
