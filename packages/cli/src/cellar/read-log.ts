import type { NumberedEntry } from '@attemper/core/batch/journal.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import type { CellarClient } from '../cellar-client.ts'
import { pathOf } from './batch-action.ts'

const AT_ONCE = 5_000

/** All entries of a batch's journal after a known one, in their order. */
export async function readLog(
  client: CellarClient,
  batch: Pick<BatchRecord, 'id'>,
  after = 0,
): Promise<readonly NumberedEntry[]> {
  const entries: NumberedEntry[] = []
  for (;;) {
    const last = entries.at(-1)?.number ?? after
    const page = await client.get<readonly NumberedEntry[]>(
      pathOf(batch, `/log?after=${last}&limit=${AT_ONCE}`),
    )
    entries.push(...page)
    if (page.length < AT_ONCE) return entries
  }
}
