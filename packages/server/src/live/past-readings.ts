import type { Report } from '../doors/report.ts'
import type { BatchKeeper } from './batch-keeper.ts'
import { CellarError } from './cellar.ts'

/** What comes from the time of a running batch would be told to it, after the next start of the software at the latest. */
export function requireBefore(reports: readonly Report[], keeper: BatchKeeper | null): void {
  if (keeper === null) return
  keeper.noticeClock()
  const { id, vessel, started_ms } = keeper.record
  const startedAt_s = keeper.state.startedAt_s ?? Math.floor(started_ms / 1000)
  const count = reports.filter(({ at_ms }) => at_ms >= startedAt_s * 1000).length
  if (count === 0) return
  throw new CellarError(
    'vessel-busy',
    `${count === 1 ? 'One of the readings is' : `${count} of the readings are`} from the time of ${id}, which runs in ${vessel}. Nothing was stored: leave that out, or say that it is meant for this batch.`,
  )
}
