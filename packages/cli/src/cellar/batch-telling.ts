import { sayReasons } from '@attemper/core/plan/reasons.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { type BatchCase, readCase } from '@attemper/server/live/batch-case.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import { RefusedError } from '../exit-status.ts'

/** What is needed to tell about a batch of the cellar in the units that the brewer reads. */
export interface BatchTelling {
  readonly record: BatchRecord
  readonly case: BatchCase
  /** The start on the vessel's own clock, s. */
  readonly start_s: number
}

export function tellingOf(record: BatchRecord, units: DisplayUnits): BatchTelling {
  const { batch } = readCase(record)
  if (batch === null) {
    throw new RefusedError(
      `The plan, the vessel or the beer of ${record.id} can not be read by this version of attemper.`,
    )
  }
  const context = { ...batch.context, units, reasons: sayReasons(batch.plan, units) }
  return {
    record,
    case: { ...batch, context },
    start_s: Math.floor(record.started_ms / 1000) + record.localOffset_s,
  }
}
