import type { BatchTelling } from '@attemper/core/batch/telling.ts'
import type { HistoryBucket, View } from '@attemper/server/http/published.ts'
import * as api from './cellar-api.ts'

/** Where readings for a chart come from. */
export interface ReadingSource {
  /** The same for the same readings. */
  readonly key: string
  fetch(
    from_ms: number,
    to_ms: number,
    count: number,
    signal?: AbortSignal,
  ): Promise<readonly HistoryBucket[]>
}

/** Where the readings of a batch are found; null: nothing measures it. */
export interface BatchStreams {
  /** One history each, from whichever instrument was in charge at the time. */
  readonly beer: ReadingSource | null
  readonly gravity: ReadingSource | null
  /** All gravities that were read by hand, believed or not. */
  readonly byHand: ReadingSource | null
}

export function streamsOf({ batch }: View, telling: BatchTelling): BatchStreams {
  const { program } = telling.case
  const history = (quantity: number): ReadingSource | null => {
    const name = program.quantities[quantity]?.name
    if (name === undefined) return null
    return {
      key: `${batch.id} ${name}`,
      fetch: (...asked) => api.history(batch.id, name, ...asked),
    }
  }
  const hand = handOf(telling)
  return {
    beer: history(program.beer),
    gravity: history(program.gravity),
    byHand: hand === null ? null : readBy(batch.vessel, hand),
  }
}

/** The instrument by which gravity is read by hand; null: there is none. */
export function handOf({ case: { vessel } }: BatchTelling): string | null {
  const hand = vessel.instruments.find(
    ({ byHand, channels }) => byHand && channels.some(({ quantity }) => quantity === 'gravity'),
  )
  return hand?.name ?? null
}

function readBy(vessel: string, instrument: string): ReadingSource {
  return {
    key: instrument,
    fetch: async (...asked) => {
      const found = await api.buckets({ vessel, instrument, quantity: 'gravity' }, ...asked)
      return found.map(bucket => ({ ...bucket, instrument }))
    },
  }
}
