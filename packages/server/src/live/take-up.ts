import { type BatchCase, readCase } from '@attemper/core/batch/batch-case.ts'
import { type CarriedOver, carryInto, carryOver } from '@attemper/core/batch/carry-over.ts'
import type { ClockSet, JournalEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { ApplianceDoor } from '../doors/appliance-door.ts'
import type { BatchRecord, Store, VesselRecord } from '../store/store.ts'
import type { BatchKeeper } from './batch-keeper.ts'
import { CellarError } from './cellar.ts'
import type { Clock } from './clock.ts'
import { fenceFor } from './fence-for.ts'
import { journalEntries } from './journal-pages.ts'
import { errorsIn, judge, lineOf } from './judge.ts'
import type { KnownVessel } from './known-vessels.ts'
import type { LeftDoors } from './left-doors.ts'
import { latestPlanText, resume } from './resume.ts'
import { sayNotTakenUp } from './say-trouble.ts'
import { tellOff } from './tell-off.ts'
import { type NotTakenUp, type OnTrouble, reasonOf } from './trouble.ts'

/** What the cellar does for a batch that is taken up. */
export interface TakeUpHost {
  readonly store: Store
  readonly clock: Clock
  readonly log: (line: string) => void
  readonly onTrouble: OnTrouble
  readonly leftDoors: LeftDoors
  readonly vessels: ReadonlyMap<string, KnownVessel>
  /** Why this batch may not be commanded; null: it may. */
  clashOf(record: BatchRecord): string | null
  openDoor(vessel: VesselRecord): ApplianceDoor
  keeperIn(vessel: string): BatchKeeper | null
  keep(record: BatchRecord, batch: BatchCase, state: EngineState, door: ApplianceDoor): BatchKeeper
  begin(record: BatchRecord, batch: BatchCase, door: ApplianceDoor): void
  letGo(batch: string): void
  clockSet(set: ClockSet, batch: string): void
  /** Waited for before the cellar is closed. */
  waitFor(work: Promise<void>): void
}

/** How long an "off" holds for a vessel whose text cannot be read, s: the usual lease. */
const OFF_FOR_S = 900

/**
 * Takes up the batches of the records that have no end, each by itself: one that cannot be taken up keeps no other from it.
 * Nobody looks after that one, so its appliances are told off, somebody is called, and it waits here until it has been mended
 * or stopped.
 */
export class TakeUp {
  readonly #host: TakeUpHost
  readonly #unkept = new Map<string, NotTakenUp>()

  constructor(host: TakeUpHost) {
    this.#host = host
  }

  /** Why nobody looks after a batch, as a sentence; null: somebody does, or it has ended. */
  whyUnkept(batch: string): string | null {
    const reason = this.#unkept.get(batch)
    return reason === undefined ? null : sayNotTakenUp(reason)
  }

  take(record: BatchRecord): void {
    const reason = this.#attempt(record)
    if (reason !== null) this.#leaveAlone(record, reason)
  }

  /** Tries again, with another plan where the old one cannot be read. Throws when it still cannot be taken up. */
  again(record: BatchRecord, planText: string | undefined, by: string): void {
    if (planText !== undefined) this.#changePlan(record, planText, by)
    const reason = this.#attempt(this.#host.store.batch(record.id) ?? record)
    if (reason === null) {
      this.forget(record.id)
      return
    }
    this.#unkept.set(record.id, reason)
    throw notKept(record.id, sayNotTakenUp(reason))
  }

  /** It is looked after now, or has ended. */
  forget(batch: string): void {
    if (this.#unkept.delete(batch)) this.#host.onTrouble({ kind: 'settled', batch })
  }

  /** What is in the way; null: nothing, it is taken up. */
  #attempt(created: BatchRecord): NotTakenUp | null {
    const { store, log, letGo } = this.#host
    try {
      const clash = this.#host.clashOf(created)
      if (clash !== null) return { why: 'clash', clash }
      const record = { ...created, planText: latestPlanText(store, created) }
      const vessel = store.vessels().find(({ name }) => name === record.vessel)
      const { batch, findings } = readCase(record)
      if (!vessel) return { why: 'no vessel', vessel: record.vessel }
      if (batch === null) return { why: 'texts', findings: errorsIn(findings).map(lineOf) }
      const other = this.#host.keeperIn(record.vessel)
      if (other !== null) return { why: 'vessel busy', vessel: record.vessel, other: other.record.id }
      const stage = this.#takeUp(record, created, vessel, batch)
      log(`${record.id} is taken up in ${record.vessel}: ${stage}.`)
      return null
    } catch (error) {
      letGo(created.id)
      return { why: 'fault', reason: reasonOf(error) }
    }
  }

  /** Returns the name of its stage. */
  #takeUp(record: BatchRecord, created: BatchRecord, vessel: VesselRecord, batch: BatchCase): string {
    const { store, clock } = this.#host
    const latest = store.latestState(record.id)
    if (latest === null) {
      this.#host.begin(record, batch, this.#host.openDoor(vessel))
      return batch.program.stages[0]?.name ?? ''
    }
    const fence = fenceFor(store, record.vessel, Math.floor(clock.now_ms() / 1000))
    const keeper = this.#host.keep(record, batch, { ...latest.state, fence }, this.#host.openDoor(vessel))
    if (record.planText !== created.planText) store.updateBatch(record.id, { planText: record.planText })
    const clockSet = resume(keeper, store)
    if (clockSet !== null) this.#host.clockSet(clockSet, record.id)
    return batch.program.stages[keeper.state.stage]?.name ?? ''
  }

  #leaveAlone(record: BatchRecord, reason: NotTakenUp): void {
    const { id, vessel } = record
    this.#unkept.set(id, reason)
    this.#host.onTrouble({ kind: 'not taken up', ...reason, batch: id })
    // Then the appliances are another batch's.
    if (this.#host.keeperIn(vessel) === null) this.#tellOff(record)
  }

  /** What its appliances were told last must not stay so: a plain relay would, and others until their lease lapses. */
  #tellOff({ vessel: name, vesselText }: BatchRecord): void {
    const { store, clock, leftDoors } = this.#host
    const now_s = Math.floor(clock.now_ms() / 1000)
    const known = this.#host.vessels.get(name)?.vessel ?? readVessel(vesselText, 'vessel').vessel
    const record = store.vessels().find(each => each.name === name)
    const lease = {
      until_s: now_s + (known?.interlocks.lease_s ?? OFF_FOR_S),
      fence: fenceFor(store, name, now_s),
    }
    const door = () =>
      this.#host.openDoor(record ?? { name, text: vesselText, doors: '', changed_ms: clock.now_ms() })
    const telling = leftDoors.close(name, {
      close: async () => {
        const problems = await tellOff(known, door(), lease)
        if (problems.length > 0) throw new Error(problems.join('; '))
      },
    })
    this.#host.waitFor(telling)
  }

  #changePlan(record: BatchRecord, planText: string, by: string): void {
    const { store, clock } = this.#host
    const { id, vesselText, beerText, localOffset_s } = record
    const { batch, findings } = judge({ planText, vesselText, beerText, localOffset_s })
    const errors = errorsIn(findings)
    if (batch === null || errors.length > 0) {
      const message = `The plan has errors, so ${id} is not taken up: ${errors.map(lineOf).join(' ')}`
      throw new CellarError('has-errors', message, findings)
    }
    const now_ms = clock.now_ms()
    const latest = store.latestState(id)
    const entries: JournalEntry[] = [{ kind: 'plan changed', at_ms: now_ms, by, planText }]
    if (latest !== null) {
      const carried = this.#carried(record, latest.state, batch)
      entries.push(...carried.events.map(event => ({ kind: 'decision' as const, at_ms: now_ms, event })))
      store.appendJournal(id, entries, carried.state)
    } else store.appendJournal(id, entries, null)
    store.updateBatch(id, { planText })
  }

  /** In the stage of the same name; where the old plan cannot be read, its journal knows how the stage is called. */
  #carried(record: BatchRecord, state: EngineState, after: BatchCase): CarriedOver {
    const now_s = state.now_s ?? Math.floor(this.#host.clock.now_ms() / 1000)
    const entries = [...journalEntries(this.#host.store, record.id)]
    const { batch: before } = readCase({ ...record, planText: latestPlanText(this.#host.store, record) })
    const name = before?.program.stages[state.stage]?.name ?? latestStage(entries) ?? ''
    const carried =
      before === null
        ? carryInto(state, name, after.program, now_s)
        : carryOver(state, before.program, after.program, now_s)
    if (carried !== null) return carried
    const list = after.program.stages.map(each => each.name).join(', ')
    const message = `${record.id} is in “${name}”, which this plan does not have; it has: ${list}. Name one of its stages so.`
    throw new CellarError('unknown-stage', message)
  }
}

export function notKept(batch: string, why: string): CellarError {
  const message = `Nobody looks after ${batch}: ${why} Its appliances were told off. Mend that and take it up, or stop it.`
  return new CellarError('not-kept', message)
}

function latestStage(entries: readonly JournalEntry[]): string | null {
  const latest = entries.findLast(entry => entry.kind === 'decision' && entry.event.kind === 'stage')
  return latest?.kind === 'decision' && latest.event.kind === 'stage' ? latest.event.stage : null
}
