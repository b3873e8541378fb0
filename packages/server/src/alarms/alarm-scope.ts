import { type Alarm, type AlarmAction, stepAlarms } from '@attemper/core/alarms/alarms.ts'
import { alarmKind } from '@attemper/core/alarms/catalogue.ts'
import { causeOf } from '@attemper/core/alarms/cause-of.ts'
import type { AlarmCondition } from '@attemper/core/alarms/conditions-of.ts'
import { alarmSentence } from '@attemper/core/alarms/say-alarm.ts'
import type { AlarmChange, AlarmPlace, KeptAlarm } from './alarm-change.ts'

/** What is kept of an alarm beside its state. */
export interface Label {
  readonly id: number
  readonly seenBy: string | null
  readonly seenAt_s: number | null
}

export interface LabelledAlarm {
  readonly alarm: Alarm
  readonly label: Label
}

const keyOf = ({ code, subject }: Pick<Alarm, 'code' | 'subject'>) => `${code}|${subject}`

/** The longest detail that is kept: an appliance may answer with a page. */
const LONGEST_DETAIL = 300

/**
 * The alarms of one batch, or of the cellar itself (`place` null). What the engine says is handed over as a whole; what
 * else happens to a batch (an appliance that is not reached) comes and goes one by one.
 */
export class AlarmScope {
  place: AlarmPlace | null
  wakeAt_s = Number.POSITIVE_INFINITY
  #alarms: readonly Alarm[]
  readonly #labels = new Map<string, Label>()
  /** null: nobody has said since the start what is so, and nothing is concluded from that. */
  #conditions: readonly AlarmCondition[] | null
  readonly #reported = new Map<string, AlarmCondition>()
  /** Whatever has been reported since the start, also when it is no longer so. */
  readonly #mentioned = new Set<string>()
  readonly #newId: () => number

  constructor(place: AlarmPlace | null, kept: readonly LabelledAlarm[], newId: () => number) {
    this.place = place
    this.#newId = newId
    this.#alarms = kept.map(({ alarm }) => alarm)
    this.#conditions = kept.length === 0 ? [] : null
    for (const { alarm, label } of kept) this.#labels.set(keyOf(alarm), label)
  }

  get isSettled(): boolean {
    return this.#conditions !== null
  }

  /** Answers whether anything is new; most calls of a running batch change nothing. */
  setConditions(conditions: readonly AlarmCondition[]): boolean {
    const before = this.#conditions
    this.#conditions = conditions
    return before === null || !areSame(before, conditions)
  }

  /** Something that is so from now on, or (`detail` null) no longer. Answers whether anything is new. */
  report({ code, subject }: Pick<AlarmCondition, 'code' | 'subject'>, detail: string | null): boolean {
    const key = keyOf({ code, subject })
    const before = this.#reported.get(key)
    const isFirst = !this.#mentioned.has(key)
    this.#mentioned.add(key)
    if (detail === null) return this.#reported.delete(key) || isFirst
    this.#reported.set(key, { code, subject, detail: detail.slice(0, LONGEST_DETAIL) })
    return before?.detail !== detail
  }

  step(now_s: number, actions: readonly AlarmAction[] = [], by: string | null = null): StepAnswer {
    if (this.#conditions === null && actions.length === 0 && this.#mentioned.size === 0) {
      this.wakeAt_s = Number.POSITIVE_INFINITY
      return NOTHING_NEW
    }
    const before = this.#alarms
    const { alarms, notices, wakeAt_s } = stepAlarms(before, this.#present(), actions, now_s)
    this.#alarms = alarms
    this.wakeAt_s = wakeAt_s
    for (const { alarm, change } of notices) this.#relabel(alarm, change, by, now_s)
    const changes = notices.map(({ at_s, change, alarm }): AlarmChange => {
      // What somebody did, and what happened by itself in the same step, are told apart.
      const isOwn = actions.some(action => keyOf(action) === keyOf(alarm))
      return { at_s, change, alarm: this.#keep(alarm), by: isOwn ? by : null }
    })
    const known = new Set(alarms.map(keyOf))
    for (const key of this.#labels.keys()) if (!known.has(key)) this.#labels.delete(key)
    return { changes, isChanged: notices.length > 0 || raisedText(before) !== raisedText(alarms) }
  }

  /** Those that have been raised. */
  list(): readonly KeptAlarm[] {
    return this.#alarms.filter(({ state }) => state !== 'pending').map(alarm => this.#keep(alarm))
  }

  /** What a restart must know. A pending alarm is not: a restart calls nobody, so its delay is counted anew. */
  toKeep(): readonly LabelledAlarm[] {
    return this.#alarms
      .filter(({ state }) => state !== 'pending')
      .map(alarm => ({ alarm, label: this.#label(alarm) }))
  }

  #present(): readonly AlarmCondition[] {
    if (this.#conditions !== null) return [...this.#conditions, ...this.#reported.values()]
    // Before the batch has been heard of, what was so before the restart still counts as so.
    const kept = this.#alarms.filter(({ awaySince_s }) => awaySince_s === null)
    return [...kept.filter(alarm => !this.#mentioned.has(keyOf(alarm))), ...this.#reported.values()]
  }

  #relabel(alarm: Alarm, change: AlarmChange['change'], by: string | null, now_s: number) {
    const { id } = this.#label(alarm)
    if (change === 'raised') this.#labels.set(keyOf(alarm), { id, seenBy: null, seenAt_s: null })
    if (change === 'acknowledged' || (change === 'cleared' && by !== null)) {
      this.#labels.set(keyOf(alarm), { id, seenBy: by, seenAt_s: now_s })
    }
  }

  #label(alarm: Alarm): Label {
    const key = keyOf(alarm)
    const known = this.#labels.get(key)
    if (known !== undefined) return known
    const label: Label = { id: this.#newId(), seenBy: null, seenAt_s: null }
    this.#labels.set(key, label)
    return label
  }

  #keep(alarm: Alarm): KeptAlarm {
    const { priority, reason, instruction } = alarmKind(alarm.code)
    const sentence = alarmSentence(alarm)
    const raised = this.#alarms.filter(({ state }) => state !== 'pending')
    const by = causeOf(raised.find(each => keyOf(each) === keyOf(alarm)) ?? alarm, raised)
    const cause = by === null ? null : this.#label(by).id
    const about = { place: this.place, priority, sentence, reason, instruction, cause }
    return { ...alarm, ...this.#label(alarm), ...about }
  }
}

export interface StepAnswer {
  readonly changes: readonly AlarmChange[]
  /** Whether what a restart must know has changed. */
  readonly isChanged: boolean
}

const NOTHING_NEW: StepAnswer = { changes: [], isChanged: false }

function areSame(a: readonly AlarmCondition[], b: readonly AlarmCondition[]): boolean {
  return (
    a.length === b.length &&
    a.every(({ code, subject, detail }, i) => {
      const other = b[i]!
      return code === other.code && subject === other.subject && detail === other.detail
    })
  )
}

function raisedText(alarms: readonly Alarm[]): string {
  return JSON.stringify(alarms.filter(({ state }) => state !== 'pending'))
}
