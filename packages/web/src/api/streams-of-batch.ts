import type { BatchTelling } from '@attemper/core/batch/telling.ts'
import type { Stream, View } from '@attemper/server/http/published.ts'

/** Where the readings of a batch are found; null: nothing measures it. */
export interface BatchStreams {
  /** Of the instrument in charge, else of the most trusted one. */
  readonly beer: Stream | null
  readonly gravity: Stream | null
  /** Gravity that is read by hand, when that is another instrument. */
  readonly byHand: Stream | null
  /** Gravity by hand can be entered. */
  readonly takesHandGravity: boolean
}

export function streamsOf({ batch, state }: View, telling: BatchTelling): BatchStreams {
  const { program, vessel } = telling.case
  const stream = (instrument: string, quantity: string): Stream => ({
    vessel: batch.vessel,
    instrument,
    quantity,
  })
  const leading = (quantity: number): Stream | null => {
    const known = program.quantities[quantity]
    if (known === undefined) return null
    const believed = state.inCharge[quantity] ?? -1
    const channel = program.channels[believed >= 0 ? believed : (known.trust[0] ?? -1)]
    return channel === undefined ? null : stream(channel.instrument, known.name)
  }
  const hand = vessel.instruments.find(
    ({ byHand, channels }) => byHand && channels.some(({ quantity }) => quantity === 'gravity'),
  )
  const gravity = leading(program.gravity)
  return {
    beer: leading(program.beer),
    gravity,
    byHand: hand === undefined || hand.name === gravity?.instrument ? null : stream(hand.name, 'gravity'),
    takesHandGravity: hand !== undefined,
  }
}
