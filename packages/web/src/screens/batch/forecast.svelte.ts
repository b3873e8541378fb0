import { carryOver } from '@attemper/core/batch/carry-over.ts'
import type { BatchTelling } from '@attemper/core/batch/telling.ts'
import { setupUnderWay } from '@attemper/core/rehearsal/setup-under-way.ts'
import type { Stream, View } from '@attemper/server/http/published.ts'
import * as api from '../../api/cellar-api.ts'
import { Trouble } from '../../api/request.ts'
import type { ForecastProgress } from '../../rehearsing/forecaster.ts'
import type { ForecastOrder } from '../../rehearsing/job.ts'
import { forecasterHere } from '../../rehearsing/rehearser-here.ts'

const RUNS = 80
const SEED = 1
const HOUR_ms = 3_600_000
/** A forecast is made anew after so much of the cellar's time, but not more often than a page can take. */
const GOOD_FOR_ms = 20 * 60_000
const LEAST_REST_ms = 15_000

/** How the batch of this screen may go on: by the plan that it follows, and by one that is tried. */
export class Forecast {
  progress = $state.raw<ForecastProgress | null>(null)
  /** By the changed plan; null: none is tried, or it is not there yet. */
  changed = $state.raw<ForecastProgress | null>(null)
  /** Why there is none; null: nothing is in the way. */
  failure = $state<string | null>(null)
  /** Another plan is being tried: the forecast by the present one stays as it is. */
  trying = $state(false)

  #known: { readonly key: string; readonly cellar_ms: number; readonly here_ms: number } | null = null

  /** To be called with each view. */
  async catchUp(view: View, telling: BatchTelling, beer: Stream | null): Promise<void> {
    if (this.trying || view.batch.ended_ms !== null || view.state.startedAt_s === null) return
    const { state } = view
    const key = `${state.batch} ${state.stage} ${view.questions.map(({ id }) => id).join(' ')} ${view.batch.planText}`
    const known = this.#known
    const here_ms = performance.now()
    const isFresh =
      known !== null &&
      known.key === key &&
      (view.now_ms - known.cellar_ms < GOOD_FOR_ms || here_ms - known.here_ms < LEAST_REST_ms)
    if (isFresh) return
    this.#known = { key, cellar_ms: view.now_ms, here_ms }
    const order = await orderFor(view, telling, telling, beer)
    if (order === null || this.trying || this.#known.here_ms !== here_ms) return
    forecasterHere().forecast(order, RUNS, {
      show: progress => {
        // A finer picture of before is not replaced by a coarse one of now.
        if (!progress.done && this.progress?.done === true && known?.key === key) return
        this.progress = progress
        this.failure = null
      },
      fail: why => (this.failure = why),
    })
  }

  /** Rehearses the rest of the batch by another plan; false: that plan does not have the present stage. */
  async tryPlan(view: View, now: BatchTelling, changed: BatchTelling, beer: Stream | null): Promise<boolean> {
    this.trying = true
    this.changed = null
    const order = await orderFor(view, now, changed, beer)
    if (order === null) return false
    forecasterHere().forecast(order, RUNS, {
      show: progress => (this.changed = progress),
      fail: why => (this.failure = why),
    })
    return true
  }

  endTrial(): void {
    forecasterHere().stop()
    this.trying = false
    this.changed = null
    this.#known = null
  }

  /** Nobody looks any more. */
  leave(): void {
    forecasterHere().stop()
  }
}

async function orderFor(
  { state, now_ms, gravity, beer_C, batch }: View,
  before: BatchTelling,
  after: BatchTelling,
  beer: Stream | null,
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
    seed: SEED,
  }
}

/** What the yeast went through, hour by hour. */
async function recorded(beer: Stream, from_ms: number, to_ms: number) {
  try {
    const found = await api.buckets(beer, from_ms, to_ms, Math.max(1, Math.ceil((to_ms - from_ms) / HOUR_ms)))
    return found.map(({ from_ms: at_ms, mean }) => ({ at_s: at_ms / 1000, beer_C: mean }))
  } catch (error) {
    if (error instanceof Trouble) return []
    throw error
  }
}
