import type { Bucket, View } from '@attemper/server/http/published.ts'
import * as api from '../../api/cellar-api.ts'
import { Trouble } from '../../api/request.ts'
import { tellingFor } from '../../sentences/telling.ts'
import { preferences } from '../../state/preferences.svelte.ts'

const BUCKETS = 120
/** Real time: a small picture of days needs no newer one. */
const AGAIN_ms = 30_000

/** The beer's temperature of the last days, as the instrument in charge gave it; fetched anew from time to time. */
export class LastDays {
  buckets = $state.raw<readonly Bucket[]>([])
  #fetched: { readonly at_ms: number; readonly key: string } | null = null

  /** To be called as often as one likes. */
  async catchUp(view: View, from_ms: number, now_ms: number): Promise<void> {
    const stream = beerStream(view)
    if (stream === null) return
    const key = `${view.batch.id} ${stream.instrument}`
    const fetched = this.#fetched
    if (fetched?.key === key && performance.now() - fetched.at_ms < AGAIN_ms) return
    this.#fetched = { at_ms: performance.now(), key }
    try {
      this.buckets = await api.buckets(stream, from_ms, now_ms, BUCKETS)
    } catch (error) {
      // The screens say already that the cellar does not answer; the picture stays as it was.
      if (!(error instanceof Trouble)) throw error
      this.#fetched = null
    }
  }
}

function beerStream({ batch, state }: View) {
  const program = tellingFor(batch, preferences.units)?.case.program
  if (program === undefined || program.beer < 0) return null
  const quantity = program.quantities[program.beer]!
  const believed = state.inCharge[program.beer] ?? -1
  const channel = program.channels[believed >= 0 ? believed : (quantity.trust[0] ?? -1)]
  if (channel === undefined) return null
  return { vessel: batch.vessel, instrument: channel.instrument, quantity: quantity.name }
}
