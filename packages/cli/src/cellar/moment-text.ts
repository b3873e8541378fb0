import { parseLocalDateTime } from '@attemper/core/units/local-time.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import { UsageError } from '../exit-status.ts'

/** What --at says, for the cellar: milliseconds since 1970 UTC, from a time on the vessel's own clock. */
export function momentText(wish: string, { localOffset_s }: Pick<BatchRecord, 'localOffset_s'>): string {
  const parsed = parseLocalDateTime(wish)
  if (!parsed.ok) throw new UsageError(`--at: ${parsed.problem.message} ${parsed.problem.cure}`)
  return String((parsed.value.local_s - localOffset_s) * 1000)
}
