import { LEAST_RUNS } from '@attemper/core/report/enough-runs.ts'
import type { View } from '@attemper/server/http/published.ts'
import { SvelteMap } from 'svelte/reactivity'
import { streamsOf } from '../../api/streams-of-batch.ts'
import type { ExpectedPoint } from '../../charts/small-picture.ts'
import { forecastOrder } from '../../rehearsing/forecast-order.ts'
import { forecasterHere } from '../../rehearsing/rehearser-here.ts'
import { tellingFor } from '../../sentences/telling.ts'
import { preferences } from '../../state/preferences.svelte.ts'

/** A small picture needs no more runs than this. */
const RUNS = LEAST_RUNS
const SEED = 1
const HOUR_ms = 3_600_000
/** Between two forecasts of one batch: time of the cellar, which may run faster, and real time. A telephone has a battery. */
const AGAIN_ms = { cellar: 30 * 60_000, real: 20_000 }

/** What is expected of each running batch in the days to come: rehearsed from now, one batch after the other. */
export class ExpectedDays {
  /** By the id of the batch. */
  readonly points = new SvelteMap<string, readonly ExpectedPoint[]>()
  readonly #made = new Map<
    string,
    { readonly key: string; readonly at_ms: number; readonly now_ms: number }
  >()
  #waiting: View[] = []
  #busy = false
  #left = false

  /** To be called with each view. */
  expect(view: View): void {
    if (view.batch.ended_ms !== null || view.state.startedAt_s === null) return
    const key = `${view.state.batch} ${view.state.stage} ${view.batch.planText}`
    const made = this.#made.get(view.batch.id)
    const isNew =
      made?.key === key &&
      (performance.now() - made.at_ms < AGAIN_ms.real ||
        Math.abs(view.now_ms - made.now_ms) < AGAIN_ms.cellar)
    if (isNew) return
    this.#made.set(view.batch.id, { key, at_ms: performance.now(), now_ms: view.now_ms })
    this.#waiting = [...this.#waiting.filter(({ batch }) => batch.id !== view.batch.id), view]
    if (!this.#busy) void this.#work()
  }

  /** Nobody looks any more. */
  leave(): void {
    this.#left = true
    forecasterHere().stop()
  }

  async #work(): Promise<void> {
    this.#busy = true
    for (;;) {
      const view = this.#waiting.shift()
      if (view === undefined || this.#left) break
      await this.#forecast(view)
    }
    this.#busy = false
  }

  async #forecast(view: View): Promise<void> {
    const telling = tellingFor(view.batch, preferences.units)
    if (telling === null) return
    const order = await forecastOrder(view, telling, telling, streamsOf(view, telling).beer, SEED)
    if (order === null || this.#left) return
    const { promise, resolve } = Promise.withResolvers<void>()
    forecasterHere().forecast(order, RUNS, {
      show: ({ result, done }) => {
        const { time_h, beer_C } = result.overTime
        const points = time_h.flatMap((hours, index) => {
          const [low_C, middle_C, high_C] = [beer_C.p5[index], beer_C.p50[index], beer_C.p95[index]]
          return low_C == null || middle_C == null || high_C == null
            ? []
            : [{ at_ms: view.now_ms + hours * HOUR_ms, low_C, middle_C, high_C }]
        })
        this.points.set(view.batch.id, points)
        if (done) resolve()
      },
      // A picture without what is expected still tells how it was.
      fail: () => resolve(),
    })
    await promise
  }
}
