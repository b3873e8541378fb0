import type { Ending } from '@attemper/core/batch/batch-sentence.ts'
import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import { SOFTWARE } from './software.ts'

/** How a batch ended, as its journal tells it; null: nothing there says that it has. */
export function endingOf(entries: Iterable<JournalEntry>): Ending | null {
  let ending: Ending | null = null
  let by: string | null = null
  for (const entry of entries) {
    if (entry.kind === 'edit' && (entry.edit.kind === 'stop' || entry.edit.kind === 'abort')) {
      by = entry.by === SOFTWARE ? null : entry.by
    }
    if (entry.kind !== 'decision' || entry.event.kind !== 'batch') continue
    const { to, from, at_s } = entry.event
    if (to === 'stopped' || to === 'aborted') ending = { at_s, was: from, by }
    else if (to === 'complete') ending = { at_s, was: from, by: null }
  }
  return ending
}
