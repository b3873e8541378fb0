import type { BatchTelling } from '@attemper/core/batch/telling.ts'
import type { Bucket, View } from '@attemper/server/http/published.ts'
import { Trouble } from '../../api/request.ts'
import { streamsOf } from '../../api/streams-of-batch.ts'

const BUCKETS = 120
/** A small picture of days needs no newer one: time of the cellar, which may run faster, and real time. */
const AGAIN_ms = { cellar: 5 * 60_000, real: 3000 }

/** The beer's temperature of the last days, as the instruments in charge gave it; fetched anew from time to time. */
export class LastDays {
  buckets = $state.raw<readonly Bucket[]>([])
  #fetched: { readonly at_ms: number; readonly now_ms: number; readonly key: string } | null = null

  /** To be called as often as one likes. */
  async catchUp(view: View, telling: BatchTelling, from_ms: number): Promise<void> {
    const { beer } = streamsOf(view, telling)
    if (beer === null) return
    const { key } = beer
    const fetched = this.#fetched
    const isNew =
      fetched?.key === key &&
      (performance.now() - fetched.at_ms < AGAIN_ms.real ||
        Math.abs(view.now_ms - fetched.now_ms) < AGAIN_ms.cellar)
    if (isNew) return
    this.#fetched = { at_ms: performance.now(), now_ms: view.now_ms, key }
    try {
      this.buckets = await beer.fetch(from_ms, view.now_ms, BUCKETS)
    } catch (error) {
      // The screens say already that the cellar does not answer; the picture stays as it was.
      if (!(error instanceof Trouble)) throw error
      this.#fetched = null
    }
  }
}
