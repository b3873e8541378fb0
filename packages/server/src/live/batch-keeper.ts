import type { BatchCase } from '@attemper/core/batch/batch-case.ts'
import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import { advance } from '@attemper/core/engine/advance.ts'
import type { AnswerInput, Edit, EngineState, Outcome, ReadingInput } from '@attemper/core/engine/contract.ts'
import type { ApplianceName, EngineEvent } from '@attemper/core/engine/events.ts'
import { shiftTimes } from '@attemper/core/engine/shift-times.ts'
import type { BatchRecord, Store } from '../store/store.ts'
import { BatchJournal } from './batch-journal.ts'
import type { Clock } from './clock.ts'
import type { CommandSender } from './command-sender.ts'
import { followSwitching, type LastSwitching, NEVER_SWITCHED } from './last-switching.ts'
import { THE_FLOAT } from './software.ts'
import type { Timers } from './timers.ts'
import { type OnTrouble, reasonOf } from './trouble.ts'

/** A state that has changed without any decision (readings only) is written down after this much real time. */
const SNAPSHOT_EVERY_MS = 60_000

/** A clock that goes back by more than this has been put right; less is a matter of waiting. */
const PUT_BACK_S = 60

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
  readonly sender: CommandSender
  readonly onTrouble: OnTrouble
  /** After each call of the engine. */
  readonly onCall: (keeper: BatchKeeper) => void
}

/**
 * Keeps one running batch: calls the engine with what has arrived, and again when its answer no longer stands; writes
 * down what it decided and the state after it, and only then lets the commands go out.
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
  #clock_s: number
  #isClosed = false
  #hasFailed = false

  constructor(record: BatchRecord, batchCase: BatchCase, state: EngineState, parts: KeeperParts) {
    this.record = record
    this.case = batchCase
    this.state = state
    this.#parts = parts
    this.#clock_s = Math.floor(parts.clock.now_ms() / 1000)
    this.#journal = new BatchJournal(parts.store, record.id, parts.clock.now_ms(), parts.onTrouble)
  }

  lastSwitching(appliance: ApplianceName): LastSwitching {
    return this.#last[appliance]
  }

  /** Takes note of an entry that was written before this keeper took over. */
  recall(entry: JournalEntry): void {
    for (const name of ['heater', 'cooler', 'thermostat'] as const) {
      this.#last[name] = followSwitching(this.#last[name], name, entry)
    }
  }

  /** The second that the engine is called at: the clock's, but never back (a clock may be put right). */
  get now_s(): number {
    return Math.max(Math.floor(this.#parts.clock.now_ms() / 1000), this.state.now_s ?? 0)
  }

  /** Calls the engine now. Returns whether everything is on disk; when it is not, the batch goes on all the same. */
  call(impulse: Impulse = {}): boolean {
    this.#noticeClock()
    const { now_s } = this
    const { readings = [], answers = [], edits = [], entries = [] } = impulse
    const before = this.state
    const outcome = advance(this.case.program, before, {
      now_s,
      // A reading from a clock that is ahead counts as taken now.
      readings: readings.map(reading => ({ ...reading, at_s: Math.min(reading.at_s, now_s) })),
      answers,
      edits,
    })
    this.state = outcome.state
    this.#stands = outcome.stands
    this.#isUnsaved = true
    const isSaved = this.#write([...entries, ...entriesOf(outcome, now_s)])
    this.#parts.sender.send(outcome.commands)
    this.#wakeWhenDue()
    this.#parts.onCall(this)
    return isSaved
  }

  /**
   * When the machine's clock is put back under a running batch, the batch's times go with it; otherwise it would stand still
   * until the clock has caught up. (Put forward, it can not be told from a machine that was asleep: that time has passed.)
   */
  #noticeClock(): void {
    const now_ms = this.#parts.clock.now_ms()
    const clock_s = Math.floor(now_ms / 1000)
    const by_s = clock_s - this.#clock_s
    this.#clock_s = clock_s
    if (by_s >= -PUT_BACK_S) return
    this.state = shiftTimes(this.state, by_s)
    this.#journal.triedAt_ms = now_ms
    this.#journal.write([{ kind: 'clock put back', at_ms: now_ms, by_s: -by_s }], this.state, now_ms)
    this.#parts.onTrouble({ kind: 'clock put back', by_s: -by_s, batch: this.record.id })
  }

  /**
   * As `call`, for what no person waits for. A fault of this software that one batch runs into must not reach the others:
   * it is raised, and without renewal what this batch has switched on falls back to off.
   */
  heed(impulse: Impulse = {}): void {
    try {
      this.call(impulse)
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
