import { isDoneBySomebody, isTold, journalLine } from '@attemper/core/batch/journal-line.ts'
import { foldTopics, type LogLine } from '@attemper/core/batch/log-line.ts'
import type { BatchTelling } from '@attemper/core/batch/telling.ts'
import type { Entry } from '@attemper/server/http/published.ts'

/** What a log can be narrowed down to. */
export type LogKind = 'stages' | 'people' | 'instruments' | 'appliances'

export const LOG_KINDS: readonly { readonly kind: LogKind; readonly title: string }[] = [
  { kind: 'stages', title: 'Stages and questions' },
  { kind: 'people', title: 'Done by somebody' },
  { kind: 'instruments', title: 'Instruments' },
  { kind: 'appliances', title: 'Appliances' },
]

export function kindOf(entry: Entry): LogKind {
  switch (entry.kind) {
    case 'command':
    case 'gap':
    case 'reach':
    case 'clock set':
      return 'appliances'
    case 'decision':
      break
    default:
      return 'people'
  }
  switch (entry.event.kind) {
    case 'switched':
    case 'withheld':
    case 'thermostat set':
    case 'limit broken':
    case 'limit kept':
    case 'no response':
      return 'appliances'
    case 'in charge':
    case 'instrument lost':
    case 'instrument back':
    case 'stuck':
    case 'moves again':
    case 'disagree':
    case 'agree':
    case 'original gravity':
      return 'instruments'
    case 'answered':
      return 'people'
    default:
      return 'stages'
  }
}

export interface ToldLine extends LogLine {
  readonly number: number
}

/**
 * The lines of a log, the latest first. Each switching of an appliance is told only when the log is narrowed down to
 * appliances: there are hundreds. What somebody did without a name of their own stands in the decision that followed;
 * narrowed down to people it is told as what they did. null: everything else.
 */
export function logLines(
  entries: readonly Entry[],
  telling: BatchTelling,
  only: LogKind | null,
): readonly ToldLine[] {
  const withSwitches = only === 'appliances'
  const lines = entries
    .filter(
      entry =>
        (only === null || kindOf(entry) === only) &&
        entry.kind !== 'command' &&
        (isTold(entry, withSwitches) || (only === 'people' && isDoneBySomebody(entry))),
    )
    .map(entry => ({ ...journalLine(entry, telling), number: entry.number }))
  return foldTopics(lines).toReversed()
}
