import type { LinkProblem } from '@attemper/core/batch/appliance-link.ts'
import type { ClockSet } from '@attemper/core/batch/journal.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'

/** What of the records a trouble is about. */
export type Kept = 'journal' | 'readings' | 'alarms' | 'messages' | 'end of the batch' | 'file' | 'pages'

/**
 * What goes wrong in the machinery itself, apart from what the engine says about a batch: facts, from which a sentence is
 * made where somebody reads it (say-trouble.ts), and an alarm where one is kept (start/trouble-alarms.ts).
 */
export type Trouble = AboutOne & TroubleFacts

interface AboutOne {
  /** Which batch it is about; null: all, or none. */
  readonly batch: string | null
}

type TroubleFacts =
  | { readonly kind: 'records failing'; readonly what: Kept; readonly reason: string }
  /** What was missing has been added. */
  | { readonly kind: 'records kept again'; readonly what: Kept }
  | { readonly kind: 'entries lost'; readonly count: number; readonly reason: string }
  /** An appliance does not confirm what it is told. */
  | {
      readonly kind: 'appliance unheard'
      readonly appliance: ApplianceName
      readonly problem: LinkProblem
    }
  | { readonly kind: 'appliance heard'; readonly appliance: ApplianceName }
  /** The doors of a vessel could not be left in a safe state: something may be on that nobody watches. */
  | { readonly kind: 'doors not closed'; readonly vessel: string; readonly problem: string }
  | { readonly kind: 'doors closed'; readonly vessel: string }
  /** The machine's clock was set under a running batch, or did not fit its records when it was taken up. */
  | ({ readonly kind: 'clock set' } & ClockSet)
  /** Nobody has set it for a good while. */
  | { readonly kind: 'clock steady' }
  /** The engine itself has failed on a batch: a fault of this software. */
  | { readonly kind: 'engine failed'; readonly reason: string }
  | ({ readonly kind: 'not taken up' } & NotTakenUp)
  /** A batch that was not taken up is looked after now, or has ended. */
  | { readonly kind: 'settled' }
  | { readonly kind: 'vessel unreadable'; readonly vessel: string }
  /** Somebody who listens to changes has thrown an error. */
  | { readonly kind: 'listener failed'; readonly reason: string }

/** Why a batch in the records is not kept. */
export type NotTakenUp =
  | { readonly why: 'texts'; readonly findings: readonly string[] }
  | { readonly why: 'no vessel'; readonly vessel: string }
  | { readonly why: 'vessel busy'; readonly vessel: string; readonly other: string }
  /** It would command what another vessel commands too. */
  | { readonly why: 'clash'; readonly clash: string }
  | { readonly why: 'fault'; readonly reason: string }

/** Told at once; must not throw. */
export type OnTrouble = (trouble: Trouble) => void

export function reasonOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error)
}
