import type { NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { ApplianceName, EngineEvent } from '@attemper/core/engine/events.ts'
import type { Receipt, Refusal, Report } from '../../doors/report.ts'
import {
  type BatchView,
  type Cellar,
  CellarError,
  type HandReading,
  type StartRequest,
} from '../../live/cellar.ts'
import type { Clock } from '../../live/clock.ts'
import type { BatchRecord, VesselRecord } from '../../store/store.ts'
import type { FakeStore } from './fake-store.ts'

interface FakeBatch {
  record: BatchRecord
  state: 'running' | 'held' | 'stopped' | 'aborted'
  stage: string
  question: number | null
  readonly log: NumberedEntry[]
}

/**
 * A cellar that knows its rules but no beer: plans whose text holds "wrong" have an error, each batch asks one question,
 * and the stages are called primary and crash.
 */
export class FakeCellar implements Cellar {
  readonly #clock: Clock
  readonly #store: FakeStore
  readonly #vessels = new Map<string, VesselRecord>()
  readonly #batches = new Map<string, FakeBatch>()
  readonly #listeners = new Set<(batch: string) => void>()
  /** Thrown by the next call of view. */
  fault: Error | null = null
  /** By batch: why nobody looks after it. */
  readonly unkept = new Map<string, string>()

  constructor(clock: Clock, store: FakeStore) {
    this.#clock = clock
    this.#store = store
  }

  vessels(): readonly VesselRecord[] {
    return [...this.#vessels.values()]
  }

  putVessel(text: string, doors: string, _by: string) {
    const name = /^vessel: (.+)$/m.exec(text)?.[1]
    if (name === undefined)
      throw new CellarError('has-errors', 'The file names no vessel: write “vessel: ...”.')
    this.#refuseBusy(name)
    this.#vessels.set(name, { name, text, doors, changed_ms: this.#clock.now_ms() })
    return { name, findings: [] }
  }

  removeVessel(name: string, _by: string): void {
    this.#vessel(name)
    this.#refuseBusy(name)
    this.#vessels.delete(name)
  }

  async accept(reports: readonly Report[], _door: string): Promise<Receipt> {
    const refused: Refusal[] = []
    let stored = 0
    let repeated = 0
    for (const [index, report] of reports.entries()) {
      const same = this.#store.readings(report, report.at_ms, report.at_ms + 1)
      if (!this.#vessels.has(report.vessel)) {
        refused.push({ index, code: 'unknown-vessel', message: `There is no vessel “${report.vessel}”.` })
      } else if (report.at_ms > this.#clock.now_ms()) {
        refused.push({ index, code: 'time-in-future', message: 'It was taken in the future.' })
      } else if (same.length > 0) repeated += 1
      else {
        this.#store.kept.push(report)
        stored += 1
      }
    }
    return { stored, repeated, refused }
  }

  async acceptPast(
    vessel: string,
    reports: readonly Report[],
    toBatch: boolean,
    by: string,
  ): Promise<Receipt> {
    this.#vessel(vessel)
    const isOf = ({ ended_ms, started_ms, ...batch }: BatchRecord) =>
      batch.vessel === vessel && ended_ms === null && reports.some(({ at_ms }) => at_ms >= started_ms)
    if (!toBatch && this.batches().some(isOf)) this.#refuseBusy(vessel)
    return this.accept(reports, by)
  }

  startBatch(request: StartRequest, by: string) {
    const vessel = this.#vessel(request.vessel)
    this.#refuseBusy(request.vessel)
    const findings = request.planText.includes('wrong') ? [WRONG_PLAN] : []
    if (findings.length > 0 && request.overrule === undefined) return { batch: null, findings }
    const id = `b${this.#batches.size + 1}`
    const record: BatchRecord = {
      id,
      vessel: vessel.name,
      name: 'Amber ale',
      planText: request.planText,
      vesselText: vessel.text,
      beerText: request.beerText,
      localOffset_s: request.localOffset_s ?? 0,
      started_ms: this.#clock.now_ms(),
      ended_ms: null,
    }
    this.#batches.set(id, { record, state: 'running', stage: 'primary', question: 1, log: [] })
    this.#say(id, { kind: 'edit', edit: { kind: 'start' }, by })
    return { batch: id, findings }
  }

  batchIn(vessel: string): string | null {
    return this.batches().find(batch => batch.vessel === vessel && batch.ended_ms === null)?.id ?? null
  }

  batches(): readonly BatchRecord[] {
    return [...this.#batches.values()].map(batch => batch.record)
  }

  view(id: string): BatchView {
    if (this.fault !== null) throw this.fault
    const { record, state, stage, question } = this.#batch(id)
    return {
      batch: record,
      now_ms: this.#clock.now_ms(),
      state: { batch: state } as EngineState,
      stage,
      sentence: `${record.name} is in ${stage}.`,
      verdict: 'well',
      doubts: [],
      ending: null,
      measured: { beer: null, gravity: null },
      beer_C: 18.25,
      gravity: null,
      target_C: 18,
      questions: question === null ? [] : [{ id: question, about: 'go on', stage, text: '', subject: '' }],
      heater: { on: false, why: 'The beer is warm enough.', link: null },
      cooler: null,
      thermostat: null,
    }
  }

  log(id: string, after: number, limit: number): readonly NumberedEntry[] {
    return this.#batch(id)
      .log.filter(entry => entry.number > after)
      .slice(0, limit)
  }

  answer(id: string, question: number, answer: 'yes' | 'not yet', by: string): void {
    const batch = this.#running(id)
    if (batch.question !== question) {
      throw new CellarError('unknown-question', `Question ${question} is not open.`)
    }
    batch.question = null
    this.#say(id, { kind: 'answer', question, answer, by })
  }

  hold(id: string, by: string): void {
    this.#running(id).state = 'held'
    this.#say(id, { kind: 'edit', edit: { kind: 'hold' }, by })
  }

  resume(id: string, by: string): void {
    this.#running(id).state = 'running'
    this.#say(id, { kind: 'edit', edit: { kind: 'resume' }, by })
  }

  goTo(id: string, stage: string, by: string): void {
    const batch = this.#running(id)
    if (stage !== 'primary' && stage !== 'crash') {
      throw new CellarError('unknown-stage', `The plan has no stage “${stage}”; it has: primary, crash.`)
    }
    batch.stage = stage
    this.#say(id, { kind: 'edit', edit: { kind: 'go to', stage }, by })
  }

  stop(id: string, by: string): void {
    this.#end(id, 'stopped')
    this.#say(id, { kind: 'edit', edit: { kind: 'stop' }, by })
  }

  abort(id: string, by: string): void {
    this.#end(id, 'aborted')
    this.#say(id, { kind: 'edit', edit: { kind: 'abort' }, by })
  }

  changePlan(id: string, planText: string, by: string) {
    const batch = this.#running(id)
    if (planText.includes('wrong')) throw new CellarError('has-errors', 'The new plan has errors.')
    batch.record = { ...batch.record, planText }
    this.#say(id, { kind: 'plan changed', by, planText })
    return { findings: [] }
  }

  note(id: string, what: string | HandReading, by: string): void {
    this.#batch(id)
    this.#say(
      id,
      typeof what === 'string' ? { kind: 'note', text: what, by } : { kind: 'read by hand', ...what, by },
    )
  }

  originalGravity(id: string, gravity: number, by: string): void {
    this.#running(id)
    if (gravity < 1) throw new CellarError('wrong-value', 'A wort is heavier than water.')
    this.#say(id, { kind: 'edit', edit: { kind: 'original gravity', gravity }, by })
  }

  whyUnkept(id: string): string | null {
    return this.unkept.get(id) ?? null
  }

  takeUp(id: string, planText: string | undefined, by: string): void {
    this.#batch(id)
    if (!this.unkept.has(id)) throw new CellarError('not-running', `${id} is looked after already.`)
    if (planText?.includes('wrong')) throw new CellarError('has-errors', 'The plan has errors.', [WRONG_PLAN])
    this.unkept.delete(id)
    this.#say(id, { kind: 'edit', edit: { kind: 'restarted' }, by })
  }

  why(id: string, appliance: ApplianceName, at_ms?: number): string {
    this.#batch(id)
    return `The ${appliance} is off${at_ms === undefined ? '' : ` at ${at_ms}`}: the beer is warm enough.`
  }

  onChange(listener: (batch: string) => void): () => void {
    this.#listeners.add(listener)
    return () => {
      this.#listeners.delete(listener)
    }
  }

  async close(): Promise<void> {
    this.#listeners.clear()
  }

  get listeners(): number {
    return this.#listeners.size
  }

  /** The engine has decided something. */
  decide(id: string, event: EngineEvent): void {
    this.#say(id, { kind: 'decision', event })
  }

  #say(id: string, entry: Said): void {
    const { log } = this.#batch(id)
    log.push({ ...entry, at_ms: this.#clock.now_ms(), number: log.length + 1 })
    for (const listener of this.#listeners) listener(id)
  }

  #end(id: string, state: 'stopped' | 'aborted'): void {
    const batch = this.#running(id)
    batch.state = state
    batch.record = { ...batch.record, ended_ms: this.#clock.now_ms() }
  }

  #vessel(name: string): VesselRecord {
    const vessel = this.#vessels.get(name)
    if (vessel === undefined) throw new CellarError('unknown-vessel', `There is no vessel called “${name}”.`)
    return vessel
  }

  #batch(id: string): FakeBatch {
    const batch = this.#batches.get(id)
    if (batch === undefined) throw new CellarError('unknown-batch', `There is no batch “${id}”.`)
    return batch
  }

  #running(id: string): FakeBatch {
    const batch = this.#batch(id)
    if (batch.record.ended_ms !== null) throw new CellarError('not-running', 'The batch has ended.')
    return batch
  }

  #refuseBusy(vessel: string): void {
    const busy = this.batches().some(batch => batch.vessel === vessel && batch.ended_ms === null)
    if (busy) throw new CellarError('vessel-busy', `A batch is in ${vessel}: stop it first.`)
  }
}

type Said = NumberedEntry extends infer Entry
  ? Entry extends NumberedEntry
    ? Omit<Entry, 'at_ms' | 'number'>
    : never
  : never

const WRONG_PLAN = {
  severity: 'error',
  code: 'unreachable-stage',
  file: 'plan',
  line: 3,
  column: 5,
  length: 4,
  message: 'Nothing leads to this stage.',
  cure: 'Let a transition lead to it, or remove it.',
} as const
