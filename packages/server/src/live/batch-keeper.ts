import type { ApplianceLink } from '@attemper/core/batch/appliance-link.ts'
import type { BatchCase } from '@attemper/core/batch/batch-case.ts'
import { believedValue } from '@attemper/core/batch/batch-sentence.ts'
import { type BeerMoment, rememberMoment } from '@attemper/core/batch/course-of-beer.ts'
import type { ClockSet, JournalEntry } from '@attemper/core/batch/journal.ts'
import { advance } from '@attemper/core/engine/advance.ts'
import type {
  AnswerInput,
  Command,
  Edit,
  EngineState,
  Outcome,
  ReadingInput,
} from '@attemper/core/engine/contract.ts'
import type { ApplianceName, EngineEvent } from '@attemper/core/engine/events.ts'
import { shiftTimes } from '@attemper/core/engine/shift-times.ts'
import type { BatchRecord, Store } from '../store/store.ts'
import type { ApplianceLinks } from './appliance-links.ts'
import { BatchJournal } from './batch-journal.ts'
import type { Clock } from './clock.ts'
import { ClockWatch } from './clock-watch.ts'
import { followSwitching, type LastSwitching, NEVER_SWITCHED } from './last-switching.ts'
import { type RecordedTime, timesToMove_s } from './settle-clock.ts'
import { SOFTWARE, THE_FLOAT } from './software.ts'
import type { Timers } from './timers.ts'
import { type OnTrouble, reasonOf } from './trouble.ts'

/** A state that has changed without any decision (readings only) is written down after this much real time. */
const SNAPSHOT_EVERY_MS = 60_000

/**
 * A machine without a battery for its clock learns the time from the network some minutes after it has started. What its
 * clock is set by until then tells how long the software was away; later on it tells nothing about the past.
 */
const UNSETTLED_S = 3600

const RESTARTED = { kind: 'restarted' } as const

/** What is put to the engine in one call, and what else is to stand in the journal before its decisions. */
export interface Impulse {
  readonly readings?: readonly ReadingInput[]
  readonly answers?: readonly AnswerInput[]
  readonly edits?: readonly Edit[]
  readonly entries?: readonly JournalEntry[]
}

export interface KeeperParts {
  readonly store: Store
  readonly clock: Clock
  readonly timers: Timers
  readonly links: ApplianceLinks
  readonly onTrouble: OnTrouble
  /** The machine's clock was set, and the times of the batch have gone with it. */
  readonly onClockSet: (set: ClockSet) => void
  /** After each call of the engine. */
  readonly onCall: (keeper: BatchKeeper) => void
}

/**
 * Keeps one running batch: calls the engine with what has arrived, and again when its answer no longer stands; writes
 * down what it decided and the state after it, and only then lets go out what switches something on.
 *
 * Every reading is given to the engine at once. Calling it more often than `stands` asks for changes nothing, so live it
 * makes the same decisions at the same seconds as a rehearsal that jumps.
 */
export class BatchKeeper {
  record: BatchRecord
  case: BatchCase
  state: EngineState
  readonly #parts: KeeperParts
  readonly #journal: BatchJournal
  readonly #last: Record<ApplianceName, LastSwitching> = {
    heater: NEVER_SWITCHED,
    cooler: NEVER_SWITCHED,
    thermostat: NEVER_SWITCHED,
  }
  #stands: Outcome['stands'] | null = null
  #clearTimer: (() => void) | null = null
  /** The state differs from the one on disk. */
  #isUnsaved = false
  readonly #watch: ClockWatch
  /** The records at the take-up, until it is certain for how long the software was away; `times_s`: moved since then. */
  #takenUp: { readonly from: RecordedTime; readonly at_s: number; readonly times_s: number } | null = null
  /** The clock was set: the appliances are told everything anew with the next call. */
  #tellsAnew = false
  #isClosed = false
  #hasFailed = false
  #past: readonly BeerMoment[] = []
  #heldBy: string | null = null

  constructor(record: BatchRecord, batchCase: BatchCase, state: EngineState, parts: KeeperParts) {
    this.record = record
    this.case = batchCase
    this.state = state
    this.#parts = parts
    this.#watch = new ClockWatch(parts.clock)
    this.#journal = new BatchJournal(parts.store, record.id, parts.clock.now_ms(), parts.onTrouble)
  }

  /** How the beer went lately, against its target. */
  get past(): readonly BeerMoment[] {
    return this.#past
  }

  /** Who holds it, as the journal has it; null: nobody. */
  get heldBy(): string | null {
    return this.#heldBy
  }

  get links(): readonly ApplianceLink[] {
    return this.#parts.links.links
  }

  /** Since when what happens can not be written down; null: it is. */
  get unwrittenSince_s(): number | null {
    const since_ms = this.#journal.failingSince_ms
    return since_ms === null ? null : Math.floor(since_ms / 1000)
  }

  /** The engine has failed on it, so nothing is decided for it. */
  get hasFailed(): boolean {
    return this.#hasFailed
  }

  lastSwitching(appliance: ApplianceName): LastSwitching {
    return this.#last[appliance]
  }

  /** Takes note of an entry that was written before this keeper took over. */
  recall(entry: JournalEntry): void {
    for (const name of ['heater', 'cooler', 'thermostat'] as const) {
      this.#last[name] = followSwitching(this.#last[name], name, entry)
    }
    if (entry.kind !== 'edit') return
    if (entry.edit.kind === 'hold') this.#heldBy = entry.by
    if (entry.edit.kind === 'resume') this.#heldBy = null
  }

  /** The second that the engine is called at: always that of the clock, so that no lease ends later than it should. */
  get now_s(): number {
    return Math.floor(this.#parts.clock.now_ms() / 1000)
  }

  /**
   * The batch was in the records as `from` says, and its times have been moved by `times_s` since. For some time the clock
   * may still be put right (UNSETTLED_S).
   */
  wasTakenUp(from: RecordedTime, times_s: number): void {
    this.#takenUp = { from, at_s: this.now_s, times_s }
  }

  /** Calls the engine now. Returns whether everything is on disk; when it is not, the batch goes on all the same. */
  call(impulse: Impulse = {}): boolean {
    this.noticeClock()
    const { now_s } = this
    const { readings = [], answers = [], edits = [], entries = [] } = impulse
    const before = this.state
    const outcome = advance(this.case.program, before, {
      now_s,
      // A reading from a clock that is ahead counts as taken now.
      readings: readings.map(reading => ({ ...reading, at_s: Math.min(reading.at_s, now_s) })),
      answers,
      edits: this.#tellsAnew ? [RESTARTED, ...edits] : edits,
    })
    this.#tellsAnew = false
    this.state = outcome.state
    this.#stands = outcome.stands
    this.#isUnsaved = true
    this.#rememberBeer()
    // Nothing may hold up what switches off, not even a disk that is slow or fails: a restart would tell it anyway.
    this.#parts.links.send(outcome.commands.filter(isOff))
    const isSaved = this.#write([...entries, ...entriesOf(outcome, now_s)])
    // Sent as well when it could not be written. Nothing that keeps the beer safe rests on the record: each command lapses by
    // itself, and after a restart all is off until readings are believed, rests count anew, and fencing numbers begin above.
    this.#parts.links.send(outcome.commands.filter(command => !isOff(command)))
    this.#wakeWhenDue()
    this.#parts.onCall(this)
    return isSaved
  }

  /**
   * When the machine's clock is set under a running batch, the batch's times go with it: it would stand still until the
   * clock has caught up, or be older by years.
   */
  noticeClock(): void {
    const clock_s = this.#watch.look_s()
    if (clock_s !== 0) this.#clockWasSet(clock_s)
    // By seconds, as clocks are put right every day.
    const ahead_s = (this.state.now_s ?? 0) - this.now_s
    if (ahead_s > 0) this.state = shiftTimes(this.state, -ahead_s)
  }

  /** What was commanded until now holds until a time on the old clock, so everything goes off, and is commanded anew. */
  #clockWasSet(clock_s: number): void {
    const set: ClockSet = { clock_s, times_s: this.#timesToMove_s(clock_s), wasAway: false }
    this.state = shiftTimes(this.state, set.times_s)
    const at_ms = this.#parts.clock.now_ms()
    this.#journal.triedAt_ms = at_ms
    this.#tellsAnew = true
    this.#write([
      { kind: 'clock set', at_ms, ...set },
      { kind: 'edit', at_ms, edit: RESTARTED, by: SOFTWARE },
    ])
    this.#parts.onClockSet(set)
  }

  #timesToMove_s(clock_s: number): number {
    if (this.#takenUp === null) return clock_s
    const { from, at_s, times_s } = this.#takenUp
    // How long it has been taken up, counted without what the clock was set by.
    const since_s = this.now_s - clock_s - at_s
    const startClock_s = this.now_s - since_s
    const settled_s = since_s > UNSETTLED_S ? null : timesToMove_s(from, startClock_s)
    const by_s = settled_s === null ? clock_s : settled_s - times_s
    this.#takenUp = settled_s === null ? null : { from, at_s: startClock_s, times_s: settled_s }
    return by_s
  }

  /** Readings of this vessel have come in. What was measured before pitching is not about this beer. */
  hear(readings: readonly ReadingInput[]): void {
    this.noticeClock()
    const startedAt_s = this.state.startedAt_s ?? 0
    const since = readings.filter(({ at_s }) => at_s >= startedAt_s)
    if (since.length > 0 || this.#tellsAnew) this.heed({ readings: since })
  }

  #rememberBeer(): void {
    const { target_C, now_s } = this.state
    const beer_C = believedValue(this.state, this.case.program.beer)
    if (beer_C === null || target_C === null || now_s === null) return
    this.#past = rememberMoment(this.#past, { at_s: now_s, beer_C, target_C })
  }

  /**
   * As `call`, for what no person waits for. A fault of this software that one batch runs into must not reach the others:
   * it is raised, and without renewal what this batch has switched on falls back to off.
   */
  heed(impulse: Impulse = {}): void {
    try {
      this.call(impulse)
      if (this.#hasFailed) this.#parts.onTrouble({ kind: 'settled', batch: this.record.id })
      this.#hasFailed = false
    } catch (error) {
      if (!this.#hasFailed) {
        this.#parts.onTrouble({ kind: 'engine failed', reason: reasonOf(error), batch: this.record.id })
      }
      this.#hasFailed = true
    }
  }

  /** Replaces plan and state (carried over to it) at once, and lets the engine look at them. */
  takeOver(
    planText: string,
    batchCase: BatchCase,
    state: EngineState,
    entries: readonly JournalEntry[],
  ): boolean {
    this.record = { ...this.record, planText }
    this.case = batchCase
    this.state = state
    return this.call({ entries })
  }

  /** Adds entries that are no business of the engine. */
  write(entries: readonly JournalEntry[]): boolean {
    return this.#write(entries)
  }

  /** Stops the timer and writes down the last state. Nothing is switched: what is on stays on until its lease lapses. */
  close(): void {
    this.#isClosed = true
    this.#clearTimer?.()
    if (this.#isUnsaved || this.#journal.isBehind) this.#save([])
  }

  #write(entries: readonly JournalEntry[]): boolean {
    for (const entry of entries) this.recall(entry)
    const { clock } = this.#parts
    const isDue = this.#isUnsaved && clock.now_ms() >= this.#snapshotDue_ms
    if (entries.length === 0 && !isDue) return true
    return this.#save(entries)
  }

  #save(entries: readonly JournalEntry[]): boolean {
    const isSaved = this.#journal.write(entries, this.state, this.#parts.clock.now_ms())
    if (isSaved) this.#isUnsaved = false
    return isSaved
  }

  get #snapshotDue_ms(): number {
    return this.#journal.triedAt_ms + SNAPSHOT_EVERY_MS * this.#parts.clock.speed
  }

  #wakeWhenDue(): void {
    this.#clearTimer?.()
    this.#clearTimer = null
    const save_ms = this.#isUnsaved ? this.#snapshotDue_ms : Number.POSITIVE_INFINITY
    const due_ms = Math.min(this.#dueNext_s() * 1000, save_ms)
    if (this.#isClosed || !Number.isFinite(due_ms)) return
    this.#clearTimer = this.#parts.timers.set(due_ms, () => this.heed())
  }

  /** When the engine has to be called again if nothing is heard. */
  #dueNext_s(): number {
    const { until_s, silence_s } = this.#stands!
    // A silence that was due already has been looked at in the call that has just been made.
    return this.state.channels.reduce((due_s, { at_s }, number) => {
      const silent_s = at_s === null ? Number.POSITIVE_INFINITY : at_s + silence_s[number]!
      return silent_s > this.state.now_s! ? Math.min(due_s, silent_s) : due_s
    }, until_s)
  }
}

function isOff(command: Command): boolean {
  return command.appliance === 'thermostat' ? command.target_C === null : !command.on
}

function entriesOf({ commands, events }: Outcome, now_s: number): JournalEntry[] {
  return [
    ...events.flatMap(takenFromFloat),
    ...events.map(event => ({ kind: 'decision' as const, at_ms: event.at_s * 1000, event })),
    ...commands.map(command => ({ kind: 'command' as const, at_ms: now_s * 1000, command })),
  ]
}

/** What a person would have entered by hand stands in the journal as if one had, with the float's name to it. */
function takenFromFloat(event: EngineEvent): JournalEntry[] {
  if (event.kind !== 'original gravity' || event.from !== 'float') return []
  const edit = { kind: event.kind, gravity: event.gravity } as const
  return [{ kind: 'edit', at_ms: event.at_s * 1000, edit, by: THE_FLOAT }]
}
