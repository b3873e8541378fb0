import type { Command, Edit } from '../engine/contract.ts'
import type { ApplianceName, EngineEvent } from '../engine/events.ts'
import type { LinkProblem } from './appliance-link.ts'

/** One thing that happened to a batch, as it is kept. Times are milliseconds since 1970-01-01T00:00 UTC. */
export type JournalEntry = { readonly at_ms: number } & (
  | { readonly kind: 'decision'; readonly event: EngineEvent }
  | { readonly kind: 'command'; readonly command: Command }
  | { readonly kind: 'edit'; readonly edit: Edit; readonly by: string }
  | {
      readonly kind: 'answer'
      readonly question: number
      readonly answer: 'yes' | 'not yet'
      readonly by: string
    }
  | { readonly kind: 'note'; readonly text: string; readonly by: string }
  /** A gravity that somebody read off an instrument, perhaps some time before it was entered. */
  | {
      readonly kind: 'read by hand'
      readonly instrument: string
      readonly gravity: number
      readonly read_ms: number
      readonly by: string
    }
  | { readonly kind: 'plan changed'; readonly by: string; readonly planText: string }
  /** Errors of the proof-reader were overruled at the start. */
  | {
      readonly kind: 'overruled'
      readonly by: string
      readonly reason: string
      readonly findings: readonly string[]
    }
  /** The software was away. */
  | { readonly kind: 'gap'; readonly from_ms: number; readonly to_ms: number }
  /** An appliance does not confirm what it is told (`problem`: why not), or does so again (null). */
  | { readonly kind: 'reach'; readonly appliance: ApplianceName; readonly problem: LinkProblem | null }
  /** The machine's clock was set, and how far the batch's times went with it. `at_ms` is on the clock as it stands now. */
  | ({ readonly kind: 'clock set' } & ClockSet)
)

/** Seconds; negative: back. */
export interface ClockSet {
  /** While the software ran: how far the clock was set. While it was away: how far it stands from the last record. */
  readonly clock_s: number
  readonly times_s: number
  readonly wasAway: boolean
}

export type NumberedEntry = JournalEntry & { readonly number: number }
