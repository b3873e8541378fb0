import type { DisplayUnits } from '../units/display.ts'
import { type BatchCase, type BatchTexts, readCase } from './batch-case.ts'

/** What a cellar keeps of a batch, as far as it is needed to tell about it. */
export interface ToldBatch extends BatchTexts {
  readonly started_ms: number
}

/** What is needed to tell about a batch in the units that the brewer reads. */
export interface BatchTelling {
  readonly record: ToldBatch
  readonly case: BatchCase
  /** The start on the vessel's own clock, s. */
  readonly start_s: number
}

/** null: its texts can not be read by this version. */
export function tellingOf(record: ToldBatch, units: DisplayUnits): BatchTelling | null {
  const { batch } = readCase(record, units)
  if (batch === null) return null
  return {
    record,
    case: batch,
    start_s: Math.floor(record.started_ms / 1000) + record.localOffset_s,
  }
}
