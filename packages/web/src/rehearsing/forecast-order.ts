import { carryOver } from '@attemper/core/batch/carry-over.ts'
import type { BatchTelling } from '@attemper/core/batch/telling.ts'
import { setupUnderWay } from '@attemper/core/rehearsal/setup-under-way.ts'
import type { View } from '@attemper/server/http/published.ts'
import { Trouble } from '../api/request.ts'
import type { ReadingSource } from '../api/streams-of-batch.ts'
import type { ForecastOrder } from './job.ts'

const HOUR_ms = 3_600_000
/** Hour by hour for 25 days; what lasts longer is told more coarsely, so that nobody waits for a year of hours. */
const MOST_RECORDED = 600

/**
 * What a forecast of a running batch begins from: how it stands, and what its yeast went through. null: the plan that is to
 * be followed does not have the present stage.
 *
 * @param before how the batch is told by the plan so far; `after`: by the plan from now on, which may be the same
 * @param beer the readings of the beer's temperature; null: there are none
 */
export async function forecastOrder(
  { state, now_ms, gravity, beer_C, batch }: View,
  before: BatchTelling,
  after: BatchTelling,
  beer: ReadingSource | null,
  seed: number,
): Promise<ForecastOrder | null> {
  const now_s = Math.floor(now_ms / 1000)
  const carried = carryOver(state, before.case.program, after.case.program, now_s)
  if (carried === null) return null
  const started_s = state.startedAt_s ?? now_s
  return {
    before: setupUnderWay(before.case, started_s),
    after: setupUnderWay(after.case, started_s),
    present: {
      now_s,
      // By the same plan nothing is carried over: what has been waited for so far counts.
      state: before === after ? state : carried.state,
      gravity,
      beer_C,
      recorded: beer === null ? [] : await recorded(beer, batch.started_ms, now_ms),
    },
    seed,
  }
}

/** What the yeast went through. */
async function recorded(beer: ReadingSource, from_ms: number, to_ms: number) {
  try {
    const hours = Math.ceil((to_ms - from_ms) / HOUR_ms)
    const found = await beer.fetch(from_ms, to_ms, Math.min(MOST_RECORDED, Math.max(1, hours)))
    return found.map(({ from_ms: at_ms, mean }) => ({ at_s: at_ms / 1000, beer_C: mean }))
  } catch (error) {
    if (error instanceof Trouble) return []
    throw error
  }
}
