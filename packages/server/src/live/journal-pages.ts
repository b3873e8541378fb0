import type { NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { Store } from '../store/store.ts'

const PAGE = 1000

/** A batch's journal from its beginning, page by page; with `until_ms`, only what had happened by then. */
export function* journalEntries(
  store: Pick<Store, 'journal'>,
  batch: string,
  until_ms?: number,
): Generator<NumberedEntry> {
  let after = 0
  for (;;) {
    const page = store.journal(batch, {
      after,
      limit: PAGE,
      ...(until_ms === undefined ? {} : { until_ms }),
    })
    yield* page
    const last = page.at(-1)
    if (last === undefined || page.length < PAGE) return
    after = last.number
  }
}
