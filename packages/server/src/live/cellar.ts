import type { ApplianceLink } from '@attemper/core/batch/appliance-link.ts'
import type { Ending } from '@attemper/core/batch/batch-sentence.ts'
import type { Doubt, Verdict } from '@attemper/core/batch/doubts.ts'
import type { NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { Measured } from '@attemper/core/batch/measured.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { ApplianceName, Question } from '@attemper/core/engine/events.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { Receipt, Report } from '../doors/report.ts'
import type { BatchRecord, VesselRecord } from '../store/store.ts'

/**
 * The cellar: all vessels and batches of this installation, alive. The HTTP interface and the command line know nothing
 * else. Methods that change something take who does it; they throw a CellarError when it can not be done.
 */
export interface Cellar {
  vessels(): readonly VesselRecord[]
  /** Adds or replaces a vessel from the text of its file; refused while a batch runs in it or when the text has errors. */
  putVessel(
    text: string,
    doors: string,
    by: string,
  ): { readonly name: string; readonly findings: readonly Finding[] }
  removeVessel(name: string, by: string): void

  accept(reports: readonly Report[], door: string): Promise<Receipt>
  /**
   * Takes in readings of one vessel that somebody has kept elsewhere, however old. Refused as a whole ('vessel-busy') when
   * some are from the time of the batch that runs in it, unless `toBatch`: then it is told of these, as of late ones.
   */
  acceptPast(vessel: string, reports: readonly Report[], toBatch: boolean, by: string): Promise<Receipt>

  /** The batch that runs in a vessel; null: it is free. */
  batchIn(vessel: string): string | null
  /** Proof-reads, rehearses shortly, and starts. Errors stop the start unless `overrule` gives a reason. */
  startBatch(request: StartRequest, by: string): StartAnswer
  batches(): readonly BatchRecord[]
  view(batch: string): BatchView
  log(batch: string, after: number, limit: number): readonly NumberedEntry[]
  answer(batch: string, question: number, answer: 'yes' | 'not yet', by: string): void
  hold(batch: string, by: string): void
  resume(batch: string, by: string): void
  goTo(batch: string, stage: string, by: string): void
  stop(batch: string, by: string): void
  abort(batch: string, by: string): void
  /** Why nobody looks after a batch that has no end, as a sentence; null: somebody does, or it is over. */
  whyUnkept(batch: string): string | null
  /** Takes up one that could not be taken up, with another plan where its own cannot be read. */
  takeUp(batch: string, planText: string | undefined, by: string): void
  /** What was measured by hand, specific gravity: attenuation is counted from it. */
  originalGravity(batch: string, gravity: number, by: string): void
  changePlan(batch: string, planText: string, by: string): { readonly findings: readonly Finding[] }
  /** Writes into the log what somebody says, or has read off an instrument: the reading itself is accepted elsewhere. */
  note(batch: string, what: string | HandReading, by: string): void
  /** Why an appliance is on or off (a thermostat: set as it is), at a time (left out: now), as a sentence. */
  why(batch: string, appliance: ApplianceName, at_ms?: number): string
  /** Called after each change of a batch; returns how to stop it. */
  onChange(listener: (batch: string) => void): () => void
  close(): Promise<void>
}

/** What somebody read off an instrument, and when. */
export interface HandReading {
  readonly instrument: string
  readonly gravity: number
  readonly read_ms: number
}

export interface StartRequest {
  readonly vessel: string
  readonly planText: string
  readonly beerText: string
  /** Why errors of the proof-reader are to be overruled. */
  readonly overrule?: string
  readonly localOffset_s?: number
}

export interface StartAnswer {
  /** null: not started, because of the findings. */
  readonly batch: string | null
  readonly findings: readonly Finding[]
}

export interface BatchView {
  readonly batch: BatchRecord
  readonly now_ms: number
  readonly state: EngineState
  readonly stage: string
  /** One plain sentence that could be read out over the telephone. */
  readonly sentence: string
  /** Whether all is well: what `doubts` come to. */
  readonly verdict: Verdict
  /** Why it can not be said that all is well, the most urgent first; empty: it can, or the batch has ended. */
  readonly doubts: readonly Doubt[]
  /** null: it goes on. */
  readonly ending: Ending | null
  /** What is believed; `measured` says where it is from and how old it is. */
  readonly beer_C: number | null
  readonly gravity: number | null
  /** The latest values, believed or not; null: never heard. */
  readonly measured: { readonly beer: Measured | null; readonly gravity: Measured | null }
  readonly target_C: number | null
  readonly questions: readonly Question[]
  /** What it is told, and why; `link`: whether it has confirmed that. */
  readonly heater: ({ readonly on: boolean } & AboutAppliance) | null
  readonly cooler: ({ readonly on: boolean } & AboutAppliance) | null
  /** What it is set to (null: off), and why; null: the vessel has none. With one, it switches heater and cooler itself. */
  readonly thermostat: ({ readonly target_C: number | null } & AboutAppliance) | null
}

interface AboutAppliance {
  readonly why: string
  /** null: nobody switches it through a door, or the batch has ended. */
  readonly link: ApplianceLink | null
}

export type CellarErrorCode =
  | 'unknown-vessel'
  | 'unknown-batch'
  | 'unknown-stage'
  | 'unknown-question'
  | 'vessel-busy'
  | 'not-kept'
  | 'has-errors'
  | 'not-running'
  | 'wrong-value'
  | 'storage'

/** Something that can not be done; `message` says why and what would be right. */
export class CellarError extends Error {
  readonly code: CellarErrorCode
  /** For 'has-errors': all that was found in the text. */
  readonly findings: readonly Finding[]

  constructor(code: CellarErrorCode, message: string, findings: readonly Finding[] = []) {
    super(message)
    this.code = code
    this.findings = findings
  }
}
