import type { BatchTelling } from '@attemper/core/batch/telling.ts'
import type { View } from '@attemper/server/http/published.ts'
import type { ReadingSource } from '../../api/streams-of-batch.ts'
import { forecastOrder } from '../../rehearsing/forecast-order.ts'
import type { ForecastProgress } from '../../rehearsing/forecaster.ts'
import { forecasterHere } from '../../rehearsing/rehearser-here.ts'

const RUNS = 80
const SEED = 1
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

  /** A slow machine gets its forecast done before it begins the next one. */
  #underWay = false
  #known: { readonly key: string; readonly cellar_ms: number; readonly here_ms: number } | null = null

  /** To be called with each view. */
  async catchUp(view: View, telling: BatchTelling, beer: ReadingSource | null): Promise<void> {
    if (this.trying || view.batch.ended_ms !== null || view.state.startedAt_s === null) return
    const { state } = view
    const key = `${state.batch} ${state.stage} ${view.questions.map(({ id }) => id).join(' ')} ${view.batch.planText}`
    const known = this.#known
    const here_ms = performance.now()
    const isFresh =
      known !== null &&
      known.key === key &&
      (this.#underWay ||
        view.now_ms - known.cellar_ms < GOOD_FOR_ms ||
        here_ms - known.here_ms < LEAST_REST_ms)
    if (isFresh) return
    this.#known = { key, cellar_ms: view.now_ms, here_ms }
    this.#underWay = true
    const order = await forecastOrder(view, telling, telling, beer, SEED)
    if (order === null || this.trying || this.#known.here_ms !== here_ms) return
    forecasterHere().forecast(order, RUNS, {
      show: progress => {
        this.#underWay = !progress.done
        // A finer picture of before is not replaced by a coarse one of now.
        if (!progress.done && this.progress?.done === true && known?.key === key) return
        this.progress = progress
        this.failure = null
      },
      fail: why => {
        this.#underWay = false
        this.failure = why
      },
    })
  }

  /** Rehearses the rest of the batch by another plan; false: that plan does not have the present stage. */
  async tryPlan(
    view: View,
    now: BatchTelling,
    changed: BatchTelling,
    beer: ReadingSource | null,
  ): Promise<boolean> {
    this.trying = true
    this.#underWay = false
    this.changed = null
    const order = await forecastOrder(view, now, changed, beer, SEED)
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
    this.#underWay = false
    this.#known = null
  }

  /** Nobody looks any more. */
  leave(): void {
    forecasterHere().stop()
  }
}
