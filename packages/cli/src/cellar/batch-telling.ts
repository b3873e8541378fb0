import { type BatchTelling, tellingOf } from '@attemper/core/batch/telling.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import { RefusedError } from '../exit-status.ts'

/** What is needed to tell about a batch of the cellar in the units that the brewer reads. */
export function readyTelling(record: BatchRecord, units: DisplayUnits): BatchTelling {
  const telling = tellingOf(record, units)
  if (telling !== null) return telling
  throw new RefusedError(
    `The plan, the vessel or the beer of ${record.id} can not be read by this version of attemper.`,
  )
}
