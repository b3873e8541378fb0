import type { ApplianceLink } from '@attemper/core/batch/appliance-link.ts'
import { type BatchCase, readCase } from '@attemper/core/batch/batch-case.ts'
import type { StandingAlarm } from '@attemper/core/batch/doubts.ts'
import type { ClockSet, JournalEntry, NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { Finding } from '@attemper/core/finding.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { ApplianceDoor } from '../doors/appliance-door.ts'
import type { Receipt, Report } from '../doors/report.ts'
import type { BatchRecord, Store, VesselRecord } from '../store/store.ts'
import { ApplianceLinks, isMissed } from './appliance-links.ts'
import { BatchFacts } from './batch-facts.ts'
import { batchId } from './batch-id.ts'
import { BatchKeeper } from './batch-keeper.ts'
import * as actions from './brewer-actions.ts'
import {
  type BatchView,
  type Cellar,
  CellarError,
  type HandReading,
  type StartAnswer,
  type StartRequest,
} from './cellar.ts'
import { notToCommand, type VesselClash } from './clashing-vessels.ts'
import type { Clock } from './clock.ts'
import { fenceFor } from './fence-for.ts'
import { firstState, readingsAtStart } from './first-state.ts'
import { type CellarIntake, openIntake } from './intake.ts'
import { errorsIn, judge, lineOf } from './judge.ts'
import { type KnownVessel, knowVessel } from './known-vessels.ts'
import { LeftDoors } from './left-doors.ts'
import { requireBefore } from './past-readings.ts'
import { levelOf, sayTrouble } from './say-trouble.ts'
import { rehearseShortly } from './short-rehearsal.ts'
import { SOFTWARE } from './software.ts'
import { notKept, TakeUp, type TakeUpHost } from './take-up.ts'
import { type Timers, timersOf } from './timers.ts'
import { type OnTrouble, reasonOf } from './trouble.ts'
import { viewOf } from './view.ts'

export interface CellarParts {
  readonly store: Store
  readonly clock: Clock
  /** How the appliances of a vessel are reached; asked when a batch begins in it, closed when it ends. */
  readonly doorFor: (vessel: VesselRecord) => ApplianceDoor
  /** What is wrong with a vessel that is to be added beside others, beyond what the reader of its file says. */
  readonly checkVessel?: (text: string, doors: string, others: readonly VesselRecord[]) => readonly Finding[]
  /** What two of these vessels, or one twice, lay claim to, so that two appliances or batches would act on each other. */
  readonly clashes?: (vessels: readonly VesselRecord[]) => readonly VesselClash[]
  /** What the place's wall clock is ahead of UTC, where a start does not say. */
  readonly localOffset_s?: number
  readonly log: (line: string, level?: 'info' | 'warning' | 'error') => void
  readonly onTrouble?: OnTrouble
  /** The alarms that have been raised, about a batch or about the cellar itself. Left out: none is known. */
  readonly alarms?: CellarAlarms
  /** Left out: the platform's own. */
  readonly timers?: Timers
}

/** A clock that has not been set for so long is as it should be, or nobody minds. Common practice, no source. */
const CLOCK_STEADY_MS = 3_600_000

export interface CellarAlarms {
  of(batch: string): readonly StandingAlarm[]
  /** Called with the batch that an alarm is about; null: the cellar itself. Returns how to stop it. */
  onChange(listener: (batch: string | null) => void): () => void
}

/** Opens the cellar and takes up every batch that has no end. */
export function openCellar(parts: CellarParts): Cellar {
  return new LiveCellar(parts)
}

const APPLIANCES: readonly ApplianceName[] = ['heater', 'cooler', 'thermostat']

class LiveCellar implements Cellar {
  readonly #parts: CellarParts
  readonly #timers: Timers
  readonly #intake: CellarIntake
  readonly #vessels = new Map<string, KnownVessel>()
  /** By batch. */
  readonly #keepers = new Map<string, BatchKeeper>()
  readonly #links = new Map<string, ApplianceLinks>()
  readonly #listeners = new Set<(batch: string) => void>()
  readonly #closing = new Set<Promise<void>>()
  readonly #leftDoors: LeftDoors
  readonly #facts: BatchFacts
  readonly #takeUp: TakeUp
  #stopWatchingAlarms: () => void = () => undefined
  #callOffSteady: () => void = () => undefined

  constructor(parts: CellarParts) {
    this.#parts = parts
    const { store, clock } = parts
    this.#timers = parts.timers ?? timersOf(clock)
    this.#leftDoors = new LeftDoors(clock, this.#timers, this.#trouble)
    for (const record of store.vessels()) {
      const known = knowVessel(record)
      if (known !== null) this.#vessels.set(record.name, known)
      else this.#trouble({ kind: 'vessel unreadable', vessel: record.name, batch: null })
    }
    this.#intake = openIntake({
      store,
      clock,
      vessels: this.#vessels,
      keeperIn: vessel => this.#keeperIn(vessel),
      onTrouble: this.#trouble,
    })
    this.#facts = new BatchFacts({
      store,
      keeperOf: batch => this.#keepers.get(batch),
      unwrittenSince_s: () => this.#intake.unwrittenSince_s,
      alarmsOf: batch => parts.alarms?.of(batch) ?? [],
    })
    // The latest first: of two in one vessel, which only a batch that once could not be taken up leaves behind, it is the one.
    for (const { said } of this.#clashes()) parts.log(`${said} Correct the vessels.`, 'warning')
    this.#takeUp = new TakeUp(this.#takeUpHost())
    for (const record of this.#open().toSorted((a, b) => b.started_ms - a.started_ms)) {
      this.#takeUp.take(record)
    }
    // What speaks against 'all is well' has changed then, and with it what is said of the batch.
    this.#stopWatchingAlarms =
      parts.alarms?.onChange(batch => {
        const ids = batch === null ? [...this.#keepers.keys()] : [batch]
        for (const id of ids) if (this.#keepers.has(id)) this.#changed(id)
      }) ?? this.#stopWatchingAlarms
  }

  #takeUpHost(): TakeUpHost {
    const { store, clock, log } = this.#parts
    return {
      store,
      clock,
      log,
      onTrouble: this.#trouble,
      leftDoors: this.#leftDoors,
      vessels: this.#vessels,
      clashOf: ({ id }) => notToCommand(this.#open(), this.#clashes()).get(id) ?? null,
      openDoor: vessel => this.#openDoor(vessel),
      keeperIn: vessel => this.#keeperIn(vessel),
      keep: (...batch) => this.#keep(...batch),
      begin: (record, batch, door) => this.#begin(record, batch, door, [], SOFTWARE),
      letGo: batch => this.#letGo(batch),
      clockSet: (set, batch) => this.#clockTrouble(set, batch),
      waitFor: work => this.#waitFor(work),
    }
  }

  #open(): readonly BatchRecord[] {
    return this.#parts.store.batches().filter(({ ended_ms }) => ended_ms === null)
  }

  #waitFor(work: Promise<void>): void {
    this.#closing.add(work)
    void work.finally(() => this.#closing.delete(work))
  }

  vessels(): readonly VesselRecord[] {
    return this.#parts.store.vessels()
  }

  putVessel(text: string, doors: string, by: string): { name: string; findings: readonly Finding[] } {
    const { vessel, findings: inVessel } = readVessel(text, 'vessel')
    const findings = [...inVessel, ...(this.#parts.checkVessel?.(text, doors, this.vessels()) ?? [])]
    const errors = errorsIn(findings)
    if (vessel === null || errors.length > 0) {
      const which = errors.some(({ file }) => file !== 'doors') ? 'The text' : 'The text of the doors'
      const message = `${which} of the vessel has errors: ${errors.map(lineOf).join(' ')}`
      throw new CellarError('has-errors', message, findings)
    }
    const { name } = vessel
    this.#requireFree(name, 'changed')
    const record: VesselRecord = { name, text, doors, changed_ms: this.#parts.clock.now_ms() }
    this.#stored('The vessel is not taken over', store => {
      store.putVessel(record)
      store.appendAudit({ at_ms: record.changed_ms, who: by, what: `vessel ${name} added or changed` })
    })
    this.#vessels.set(name, knowVessel(record)!)
    return { name, findings }
  }

  removeVessel(name: string, by: string): void {
    this.#vesselRecord(name)
    this.#requireFree(name, 'removed')
    this.#stored('The vessel is still there', store => {
      store.removeVessel(name)
      store.appendAudit({ at_ms: this.#parts.clock.now_ms(), who: by, what: `vessel ${name} removed` })
    })
    this.#vessels.delete(name)
  }

  accept(reports: readonly Report[], door: string): Promise<Receipt> {
    return this.#intake.accept(reports, door)
  }

  async acceptPast(
    vessel: string,
    reports: readonly Report[],
    toBatch: boolean,
    by: string,
  ): Promise<Receipt> {
    this.#vesselRecord(vessel)
    if (!toBatch) requireBefore(reports, this.#keeperIn(vessel))
    const receipt = await this.#intake.acceptPast(reports, by)
    if (receipt.stored > 0) this.#recordImport(`past readings of ${vessel} imported`, by)
    return receipt
  }

  batchIn(vessel: string): string | null {
    return this.#keeperIn(vessel)?.record.id ?? null
  }

  startBatch(request: StartRequest, by: string): StartAnswer {
    const { store, clock } = this.#parts
    const vessel = this.#vesselRecord(request.vessel)
    this.#requireFree(vessel.name, 'used for another batch')
    this.#requireNoClash(vessel.name)
    const localOffset_s = request.localOffset_s ?? this.#parts.localOffset_s ?? 0
    const { planText, beerText } = request
    const texts = { planText, beerText, vesselText: vessel.text, localOffset_s }
    const { batch, findings } = judge(texts)
    const reason = request.overrule?.trim() ?? ''
    const errors = errorsIn(findings)
    if (batch === null || (errors.length > 0 && reason === '')) return { batch: null, findings }
    const started_ms = clock.now_ms()
    const rehearsed = rehearseShortly(batch, Math.floor(started_ms / 1000))
    const { name } = batch.beer
    const id = batchId(started_ms, localOffset_s, name, each => store.batch(each) !== null)
    const record: BatchRecord = { id, vessel: vessel.name, name, ...texts, started_ms, ended_ms: null }
    const door = this.#openDoor(vessel)
    try {
      this.#stored('The batch is not started', () => store.createBatch(record))
    } catch (error) {
      void this.#leftDoors.close(vessel.name, door)
      throw error
    }
    const overruled: JournalEntry[] =
      errors.length === 0
        ? []
        : [{ kind: 'overruled', at_ms: started_ms, by, reason, findings: errors.map(lineOf) }]
    this.#begin(record, batch, door, overruled, by)
    return { batch: id, findings: [...findings, ...rehearsed] }
  }

  batches(): readonly BatchRecord[] {
    return this.#parts.store.batches()
  }

  view(batch: string): BatchView {
    const { record, batchCase, state } = this.#look(batch)
    const lastOf = (name: ApplianceName) => this.#facts.lastSwitching(batch, name)
    return viewOf(record, batchCase, state, this.#parts.clock.now_ms(), lastOf, this.#facts.of(record))
  }

  log(batch: string, after: number, limit: number): readonly NumberedEntry[] {
    this.#record(batch)
    return this.#parts.store.journal(batch, { after, limit })
  }

  answer(batch: string, question: number, answer: 'yes' | 'not yet', by: string): void {
    actions.answer(this.#running(batch), question, answer, by)
  }

  hold(batch: string, by: string): void {
    actions.edit(this.#running(batch), 'hold', by)
  }

  resume(batch: string, by: string): void {
    actions.edit(this.#running(batch), 'resume', by)
  }

  goTo(batch: string, stage: string, by: string): void {
    actions.goTo(this.#running(batch), stage, by)
  }

  stop(batch: string, by: string): void {
    this.#finish(batch, 'stop', by)
  }

  abort(batch: string, by: string): void {
    this.#finish(batch, 'abort', by)
  }

  whyUnkept(batch: string): string | null {
    return this.#takeUp.whyUnkept(batch)
  }

  takeUp(batch: string, planText: string | undefined, by: string): void {
    const record = this.#record(batch)
    if (this.#takeUp.whyUnkept(batch) === null) {
      const { id, ended_ms } = record
      const message =
        ended_ms === null ? `${id} is looked after already.` : `${id} is over: it can not be taken up.`
      throw new CellarError('not-running', message)
    }
    this.#takeUp.again(record, planText, by)
    this.#changed(batch)
  }

  changePlan(batch: string, planText: string, by: string): { readonly findings: readonly Finding[] } {
    const keeper = this.#running(batch)
    const answer = actions.changePlan(keeper, planText, by)
    this.#stored('The new plan is in the journal, but not in the record', store =>
      store.updateBatch(batch, { planText }),
    )
    return answer
  }

  note(batch: string, what: string | HandReading, by: string): void {
    const keeper = this.#keepers.get(batch)
    if (keeper) actions.note(keeper, what, by)
    else {
      const { id } = this.#record(batch)
      const at_ms = this.#parts.clock.now_ms()
      this.#stored('The note is not kept', store =>
        store.appendJournal(id, [actions.noteOf(what, at_ms, by)], null),
      )
    }
    this.#changed(batch)
  }

  originalGravity(batch: string, gravity: number, by: string): void {
    actions.originalGravity(this.#running(batch), gravity, by)
  }

  why(batch: string, appliance: ApplianceName, at_ms?: number): string {
    const { record, batchCase, state } = this.#look(batch)
    const { program } = batchCase
    if (program[appliance] === null) {
      return appliance === 'thermostat' || program.thermostat === null
        ? `${record.vessel} has no ${appliance}.`
        : `Heating and cooling of ${record.vessel} are left to its thermostat.`
    }
    return this.#facts.why({ record, batchCase, state }, appliance, at_ms)
  }

  onChange(listener: (batch: string) => void): () => void {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  async close(): Promise<void> {
    this.#listeners.clear()
    this.#stopWatchingAlarms()
    for (const id of [...this.#keepers.keys()]) this.#letGo(id)
    this.#callOffSteady()
    await Promise.allSettled(this.#closing)
    this.#leftDoors.end()
  }

  /** A batch that could not be taken up has nobody who keeps it: then only its record is closed. */
  #finish(batch: string, kind: 'stop' | 'abort', by: string): void {
    const { id, ended_ms } = this.#record(batch)
    if (this.#keepers.has(id) || ended_ms !== null) {
      actions.edit(this.#running(batch), kind, by)
      return
    }
    const at_ms = this.#parts.clock.now_ms()
    this.#stored('The batch is still open', store => {
      store.appendJournal(id, [{ kind: 'edit', at_ms, edit: { kind }, by }], null)
      store.updateBatch(id, { ended_ms: at_ms })
    })
    this.#takeUp.forget(id)
    this.#changed(id)
  }

  /** A batch that is begun, or that was created but never written to before the software stopped. */
  #begin(
    record: BatchRecord,
    batch: BatchCase,
    door: ApplianceDoor,
    before: readonly JournalEntry[],
    by: string,
  ): void {
    const now_s = Math.floor(this.#parts.clock.now_ms() / 1000)
    const keeper = this.#keep(record, batch, this.#fenced(record.vessel, firstState(batch)), door)
    const edit = { kind: 'start' } as const
    keeper.call({
      readings: readingsAtStart(this.#parts.store, record, batch.vessel),
      edits: [edit],
      entries: [...before, { kind: 'edit', at_ms: now_s * 1000, edit, by }],
    })
    this.#parts.log(`${record.id} begins in ${record.vessel}.`)
  }

  #openDoor(vessel: VesselRecord): ApplianceDoor {
    try {
      return this.#parts.doorFor(vessel)
    } catch (error) {
      const message = `The appliances of ${vessel.name} can not be reached: ${reasonOf(error)}. Correct the doors of the vessel.`
      throw new CellarError('has-errors', message)
    }
  }

  #fenced(vessel: string, state: EngineState): EngineState {
    const { store, clock } = this.#parts
    return { ...state, fence: fenceFor(store, vessel, Math.floor(clock.now_ms() / 1000)) }
  }

  #keep(record: BatchRecord, batch: BatchCase, state: EngineState, door: ApplianceDoor): BatchKeeper {
    const { store, clock } = this.#parts
    this.#leftDoors.takeOver(record.vessel)
    const links = new ApplianceLinks({
      door,
      appliances: APPLIANCES.filter(name => batch.program[name] !== null),
      clock,
      timers: this.#timers,
      onChange: (link, before) => this.#linkChanged(record.id, link, before),
    })
    const keeper = new BatchKeeper(record, batch, state, {
      store,
      clock,
      timers: this.#timers,
      links,
      onTrouble: this.#trouble,
      onClockSet: set => this.#clockTrouble(set, record.id),
      onCall: each => this.#called(each),
    })
    this.#keepers.set(record.id, keeper)
    this.#links.set(record.id, links)
    return keeper
  }

  #called(keeper: BatchKeeper): void {
    if (isOver(keeper)) this.#end(keeper)
    this.#changed(keeper.record.id)
  }

  #end(keeper: BatchKeeper): void {
    const { id } = keeper.record
    this.#letGo(id)
    try {
      this.#parts.store.updateBatch(id, { ended_ms: keeper.now_s * 1000 })
    } catch (error) {
      // The next start of the software finds the state of a batch that is over, and ends it then.
      const reason = reasonOf(error)
      this.#trouble({ kind: 'records failing', what: 'end of the batch', reason, batch: id })
    }
    this.#parts.log(`${id} is ${keeper.state.batch}.`)
  }

  /** Nobody keeps this batch any more; its door closes once everything has gone out. */
  #letGo(batch: string): void {
    const keeper = this.#keepers.get(batch)
    keeper?.close()
    this.#keepers.delete(batch)
    const links = this.#links.get(batch)
    if (!keeper || !links) return
    this.#links.delete(batch)
    // Nobody waits for their answers any more: what may be on for ever is a trouble of its own.
    for (const link of links.links) {
      if (isMissed(link)) this.#trouble({ kind: 'appliance heard', appliance: link.appliance, batch })
    }
    this.#waitFor(this.#leftDoors.close(keeper.record.vessel, links))
  }

  #linkChanged(batch: string, link: ApplianceLink, before: ApplianceLink): void {
    const { appliance, problem } = link
    if (isMissed(link) !== isMissed(before)) {
      const keeper = this.#keepers.get(batch)
      const at_ms = this.#parts.clock.now_ms()
      keeper?.write([{ kind: 'reach', at_ms, appliance, problem }])
      this.#trouble(
        problem === null || !isMissed(link)
          ? { kind: 'appliance heard', appliance, batch }
          : { kind: 'appliance unheard', appliance, problem, batch },
      )
    }
    this.#changed(batch)
  }

  #clockTrouble(set: ClockSet, batch: string): void {
    this.#trouble({ kind: 'clock set', ...set, batch })
    this.#callOffSteady()
    const isOver = () => this.#trouble({ kind: 'clock steady', batch: null })
    this.#callOffSteady = this.#timers.set(this.#parts.clock.now_ms() + CLOCK_STEADY_MS, isOver)
  }

  #changed(batch: string): void {
    for (const listener of this.#listeners) {
      try {
        listener(batch)
      } catch (error) {
        this.#trouble({ kind: 'listener failed', reason: reasonOf(error), batch })
      }
    }
  }

  readonly #trouble: OnTrouble = trouble => {
    this.#parts.log(`${trouble.kind}: ${sayTrouble(trouble)}`, levelOf(trouble))
    try {
      this.#parts.onTrouble?.(trouble)
    } catch (error) {
      // Whoever tells of troubles may itself be in trouble; the batches go on.
      this.#parts.log(`It could not be told: ${reasonOf(error)}`, 'error')
    }
  }

  #keeperIn(vessel: string): BatchKeeper | null {
    for (const keeper of this.#keepers.values()) if (keeper.record.vessel === vessel) return keeper
    return null
  }

  #requireFree(vessel: string, what: string): void {
    const keeper = this.#keeperIn(vessel)
    if (keeper === null) return
    const { id } = keeper.record
    throw new CellarError(
      'vessel-busy',
      `${vessel} can not be ${what} while ${id} is in it: stop that first.`,
    )
  }

  #clashes(): readonly VesselClash[] {
    return this.#parts.clashes?.(this.vessels()) ?? []
  }

  /** A vessel that clashes is refused when it is added; what an older version took may still be there. */
  #requireNoClash(vessel: string): void {
    const clash = this.#clashes().find(({ vessels }) => vessels.includes(vessel))
    if (clash === undefined) return
    throw new CellarError(
      'has-errors',
      `No batch can begin in ${vessel}. ${clash.said} Correct the vessels first.`,
    )
  }

  #vesselRecord(name: string): VesselRecord {
    const known = this.#vessels.get(name)
    if (known) return known.record
    const list = [...this.#vessels.keys()].join(', ')
    const message = `There is no vessel “${name}”; ${list === '' ? 'add it first' : `there are: ${list}`}.`
    throw new CellarError('unknown-vessel', message)
  }

  #record(batch: string): BatchRecord {
    const record = this.#keepers.get(batch)?.record ?? this.#parts.store.batch(batch)
    if (record) return record
    const latest = this.#parts.store.batches().slice(-5)
    const list =
      latest.length === 0 ? 'there is none yet' : `the latest are: ${latest.map(({ id }) => id).join(', ')}`
    throw new CellarError('unknown-batch', `There is no batch “${batch}”; ${list}.`)
  }

  #running(batch: string): BatchKeeper {
    const keeper = this.#keepers.get(batch)
    if (keeper) return keeper
    const { id } = this.#record(batch)
    this.#requireKept(id)
    throw new CellarError('not-running', `${id} is over: nothing can be done to it any more.`)
  }

  #requireKept(batch: string): void {
    const why = this.#takeUp.whyUnkept(batch)
    if (why !== null) throw notKept(batch, why)
  }

  /** A batch with its state: from its keeper while it runs, from the records when it is over. */
  #look(batch: string): { record: BatchRecord; batchCase: BatchCase; state: EngineState } {
    const keeper = this.#keepers.get(batch)
    if (keeper) return { record: keeper.record, batchCase: keeper.case, state: keeper.state }
    const record = this.#record(batch)
    this.#requireKept(batch)
    const { batch: batchCase, findings } = readCase(record)
    const latest = this.#parts.store.latestState(batch)
    if (batchCase === null || latest === null) {
      const reason =
        batchCase === null ? errorsIn(findings).map(lineOf).join(' ') : 'nothing was ever recorded.'
      throw new CellarError('has-errors', `${batch} can not be shown: ${reason}`, findings)
    }
    return { record, batchCase, state: latest.state }
  }

  /** A long log comes in many parts, and is one change. */
  #recordImport(what: string, who: string): void {
    const [latest] = this.#parts.store.audit(1)
    if (latest?.what === what && latest.who === who) return
    this.#stored('The readings are stored, but not written into the record of changes', store =>
      store.appendAudit({ at_ms: this.#parts.clock.now_ms(), who, what }),
    )
  }

  #stored(what: string, write: (store: Store) => void): void {
    try {
      write(this.#parts.store)
    } catch (error) {
      throw new CellarError('storage', `${what}: the records can not be written (${reasonOf(error)}).`)
    }
  }
}

/** A complete fermentation is kept at its last target until the brewer stops it; a complete hot side is over. */
function isOver({ state, case: { program } }: BatchKeeper): boolean {
  const { batch } = state
  return batch === 'stopped' || batch === 'aborted' || (batch === 'complete' && program.side === 'hot side')
}
