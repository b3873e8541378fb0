import { type AlarmAction, LONGEST_SHELF_S } from '@attemper/core/alarms/alarms.ts'
import type { AlarmCode, Priority } from '@attemper/core/alarms/catalogue.ts'
import type { AlarmCondition } from '@attemper/core/alarms/conditions-of.ts'
import type { Clock } from '../live/clock.ts'
import type { OnTrouble } from '../live/trouble.ts'
import type { Store } from '../store/store.ts'
import type { AlarmChange, AlarmPlace, KeptAlarm } from './alarm-change.ts'
import { ALARM_DOCUMENT, printAlarms, readAlarms } from './alarm-document.ts'
import { AlarmError } from './alarm-error.ts'
import { AlarmScope, type StepAnswer } from './alarm-scope.ts'

/** The alarms of the whole cellar. Cheap to call at every reading: what changes nothing costs a comparison. */
export interface AlarmKeeper {
  /** What is so now in a batch, as a whole (batch-conditions.ts). For a batch that has ended: no conditions. */
  updateBatch(place: AlarmPlace, conditions: readonly AlarmCondition[]): void
  /**
   * Something else that is so from now on (`problem`: in a few words), or no longer (null): in a batch, such as an
   * appliance that is not reached, or in the cellar itself (`place` null).
   */
  report(
    what: { readonly code: AlarmCode; readonly subject: string; readonly place?: AlarmPlace | null },
    problem: string | null,
  ): void
  /** After a start, when all running batches have been told of: what nobody has mentioned is over. */
  settle(): void

  /** Those that have been raised; the most urgent first, then the youngest. */
  list(): readonly KeptAlarm[]
  /** Each throws an AlarmError when it can not be done. What they return from is on disk. */
  acknowledge(id: number, by: string): KeptAlarm
  shelve(id: number, until_ms: number, by: string): KeptAlarm
  unshelve(id: number, by: string): KeptAlarm
  /** Called at each change; returns how to stop it. */
  onChange(listener: (change: AlarmChange) => void): () => void
  close(): void
}

export interface AlarmKeeperOptions {
  readonly store: Pick<Store, 'getDocument' | 'putDocument' | 'appendAudit'>
  readonly clock: Clock
  /** Calls once at a time of the cellar's clock (live/timers.ts); returns how to call it off. */
  readonly timers: { set(at_ms: number, call: () => void): () => void }
  /** Hands changes over to be told. Called before they are kept: a crash between the two tells twice, never not at all. */
  readonly notify: (changes: readonly AlarmChange[]) => void
  readonly onTrouble?: OnTrouble
}

/** Takes up the alarms where they were: a restart neither forgets one nor rings again. */
export function openAlarms(options: AlarmKeeperOptions): AlarmKeeper {
  return new Keeper(options)
}

const LONGEST_SHELF_MS = LONGEST_SHELF_S * 1000
/** A write that failed is tried again after this long. */
const TRY_AGAIN_MS = 30_000
const URGENCY: Readonly<Record<Priority, number>> = { high: 0, medium: 1, low: 2 }

class Keeper implements AlarmKeeper {
  readonly #options: AlarmKeeperOptions
  /** By batch; '' is the cellar itself. */
  readonly #scopes = new Map<string, AlarmScope>()
  readonly #listeners = new Set<(change: AlarmChange) => void>()
  #nextId: number
  #untold: AlarmChange[] = []
  #mustKeep = false
  #isFailing = false
  #cancelWake: () => void = nothing
  #wakeAt_s = Number.POSITIVE_INFINITY
  #cancelFlush: (() => void) | null = null
  #cancelRetry: () => void = nothing

  constructor(options: AlarmKeeperOptions) {
    this.#options = options
    const text = options.store.getDocument(ALARM_DOCUMENT)
    const kept = readAlarms(text)
    if (kept === null && text !== null) options.store.putDocument(`${ALARM_DOCUMENT}.unreadable`, text)
    this.#nextId = kept?.nextId ?? 1
    for (const { place, alarms } of kept?.scopes ?? []) {
      this.#scopes.set(place?.batch ?? '', new AlarmScope(place, alarms, this.#newId))
    }
  }

  updateBatch(place: AlarmPlace, conditions: readonly AlarmCondition[]): void {
    const scope = this.#scope(place)
    scope.place = place
    if (scope.setConditions(conditions) || this.#now_s() >= scope.wakeAt_s) this.#step(scope)
  }

  report(
    what: { readonly code: AlarmCode; readonly subject: string; readonly place?: AlarmPlace | null },
    problem: string | null,
  ): void {
    const scope = this.#scope(what.place ?? null)
    if (scope.report(what, problem)) this.#step(scope)
  }

  settle(): void {
    for (const scope of [...this.#scopes.values()]) {
      if (scope.isSettled) continue
      scope.setConditions([])
      this.#step(scope)
    }
  }

  list(): readonly KeptAlarm[] {
    return [...this.#scopes.values()]
      .flatMap(scope => scope.list())
      .sort((a, b) => URGENCY[a.priority] - URGENCY[b.priority] || (b.raisedAt_s ?? 0) - (a.raisedAt_s ?? 0))
  }

  acknowledge(id: number, by: string): KeptAlarm {
    const { alarm, scope } = this.#find(id)
    if (alarm.state === 'acknowledged') return alarm
    if (alarm.state === 'shelved') {
      throw new AlarmError('alarm-shelved', `Alarm ${id} is shelved: take it off the shelf first.`)
    }
    const { code, subject } = alarm
    return this.#act(alarm, scope, { kind: 'acknowledge', code, subject }, by, 'acknowledged')
  }

  shelve(id: number, until_ms: number, by: string): KeptAlarm {
    const { alarm, scope } = this.#find(id)
    const now_ms = this.#options.clock.now_ms()
    if (!(until_ms > now_ms && until_ms <= now_ms + LONGEST_SHELF_MS)) {
      throw new AlarmError('wrong-value', 'An alarm can be shelved for up to 7 d from now.')
    }
    const { code, subject } = alarm
    const until = new Date(until_ms).toISOString()
    const action: AlarmAction = { kind: 'shelve', code, subject, until_s: until_ms / 1000 }
    return this.#act(alarm, scope, action, by, `shelved until ${until}`)
  }

  unshelve(id: number, by: string): KeptAlarm {
    const { alarm, scope } = this.#find(id)
    if (alarm.state !== 'shelved')
      throw new AlarmError('alarm-not-shelved', `Alarm ${id} is not on the shelf.`)
    const { code, subject } = alarm
    return this.#act(alarm, scope, { kind: 'unshelve', code, subject }, by, 'taken off the shelf')
  }

  onChange(listener: (change: AlarmChange) => void): () => void {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  close(): void {
    this.#cancelWake()
    this.#flush()
    this.#cancelRetry()
    this.#listeners.clear()
  }

  readonly #newId = () => this.#nextId++

  #now_s(): number {
    return this.#options.clock.now_ms() / 1000
  }

  #scope(place: AlarmPlace | null): AlarmScope {
    const key = place?.batch ?? ''
    const known = this.#scopes.get(key)
    if (known !== undefined) return known
    const scope = new AlarmScope(place, [], this.#newId)
    this.#scopes.set(key, scope)
    return scope
  }

  #find(id: number): { readonly alarm: KeptAlarm; readonly scope: AlarmScope } {
    for (const scope of this.#scopes.values()) {
      const alarm = scope.list().find(each => each.id === id)
      if (alarm !== undefined) return { alarm, scope }
    }
    throw new AlarmError('unknown-alarm', `There is no alarm ${id} now; it may be over.`)
  }

  #act(before: KeptAlarm, scope: AlarmScope, action: AlarmAction, by: string, done: string): KeptAlarm {
    const answer = this.#step(scope, [action], by)
    const { store, clock } = this.#options
    const after = answer.changes.find(({ alarm }) => alarm.id === before.id)?.alarm
    this.#flush()
    const what = `alarm ${before.id} ${done}: ${where(before)}${before.sentence}`
    const problem = this.#isFailing
      ? 'the disk does not take it'
      : attempt(() => store.appendAudit({ at_ms: clock.now_ms(), who: by, what }))
    if (problem !== null) {
      throw new AlarmError('storage', `It is done, but could not be written down (${problem}).`)
    }
    return after ?? before
  }

  #step(scope: AlarmScope, actions: readonly AlarmAction[] = [], by: string | null = null): StepAnswer {
    const answer = scope.step(this.#now_s(), actions, by)
    this.#untold.push(...answer.changes)
    this.#mustKeep ||= answer.isChanged
    if (answer.isChanged) this.#flushSoon()
    this.#wake()
    return answer
  }

  #wake() {
    let at_s = Number.POSITIVE_INFINITY
    for (const { wakeAt_s } of this.#scopes.values()) at_s = Math.min(at_s, wakeAt_s)
    if (at_s === this.#wakeAt_s) return
    this.#cancelWake()
    this.#wakeAt_s = at_s
    this.#cancelWake = Number.isFinite(at_s) ? this.#options.timers.set(at_s * 1000, this.#onWake) : nothing
  }

  readonly #onWake = () => {
    this.#wakeAt_s = Number.POSITIVE_INFINITY
    const now_s = this.#now_s()
    for (const scope of [...this.#scopes.values()]) if (now_s >= scope.wakeAt_s) this.#step(scope)
    this.#wake()
  }

  /** However many batches change at once, they are told and written together. */
  #flushSoon() {
    const { timers, clock } = this.#options
    this.#cancelFlush ??= timers.set(clock.now_ms(), () => this.#flush())
  }

  #flush() {
    this.#cancelFlush?.()
    this.#cancelFlush = null
    const told = this.#untold
    this.#untold = []
    if (told.length > 0) this.#options.notify(told)
    if (this.#mustKeep) this.#keep()
    for (const change of told) this.#tell(change)
  }

  #keep() {
    this.#cancelRetry()
    const scopes = [...this.#scopes.values()].flatMap(scope => {
      const alarms = scope.toKeep()
      return alarms.length === 0 ? [] : [{ place: scope.place, alarms }]
    })
    const text = printAlarms({ nextId: this.#nextId, scopes })
    const problem = attempt(() => this.#options.store.putDocument(ALARM_DOCUMENT, text))
    this.#mustKeep = problem !== null
    if ((problem !== null) !== this.#isFailing) {
      this.#isFailing = problem !== null
      this.#options.onTrouble?.(
        problem === null
          ? { kind: 'records kept again', what: 'alarms', batch: null }
          : { kind: 'records failing', what: 'alarms', reason: problem, batch: null },
      )
    }
    const { clock, timers } = this.#options
    const again_ms = clock.now_ms() + TRY_AGAIN_MS * clock.speed
    this.#cancelRetry = problem === null ? nothing : timers.set(again_ms, () => this.#keep())
  }

  #tell(change: AlarmChange) {
    for (const listener of this.#listeners) {
      const problem = attempt(() => listener(change))
      if (problem !== null) {
        this.#options.onTrouble?.({ kind: 'listener failed', reason: problem, batch: null })
      }
    }
  }
}

function where({ place }: KeptAlarm): string {
  return place === null ? '' : `${place.vessel}, ${place.name}: `
}

function attempt(call: () => void): string | null {
  try {
    call()
    return null
  } catch (error) {
    return error instanceof Error ? error.message : String(error)
  }
}

function nothing() {
  return
}
