import { readCase } from '@attemper/core/batch/batch-case.ts'
import { type Charge, chargesOf, type InCharge } from '@attemper/core/batch/in-charge.ts'
import type { BatchRecord, Bucket, Store } from '../store/store.ts'
import type { Cellar } from './cellar.ts'

/** A part of the history, with the instrument that was believed then. */
export interface HistoryBucket extends Bucket {
  readonly instrument: string
}

export interface HistorySource {
  readonly log: Cellar['log']
  readonly buckets: Store['buckets']
}

const PAGE = 1000

/**
 * What a batch was believed to be: of one quantity one history, from whichever instrument was in charge at the time. When
 * another takes over, what the first one has shown stays.
 */
export class QuantityHistory {
  readonly #source: HistorySource
  /** By batch: who took over when, as far as its journal has been read. */
  readonly #known = new Map<string, { after: number; readonly events: InCharge[] }>()

  constructor(source: HistorySource) {
    this.#source = source
  }

  /** At most about `count` parts, earliest first; parts without readings are left out. */
  buckets(
    batch: BatchRecord,
    quantity: string,
    from_ms: number,
    to_ms: number,
    count: number,
  ): readonly HistoryBucket[] {
    const length_ms = Math.max(1, (to_ms - from_ms) / count)
    return this.#charges(batch, quantity, to_ms).flatMap(charge => {
      const begins_ms = Math.max(from_ms, charge.from_ms)
      const ends_ms = Math.min(to_ms, charge.to_ms)
      if (begins_ms >= ends_ms) return []
      const { instrument } = charge
      const parts = Math.max(1, Math.round((ends_ms - begins_ms) / length_ms))
      return (
        this.#source
          .buckets({ vessel: batch.vessel, instrument, quantity }, begins_ms, ends_ms, parts)
          // A wide bucket may begin before the time that was asked for.
          .map(bucket => ({ ...bucket, from_ms: Math.max(begins_ms, bucket.from_ms), instrument }))
      )
    })
  }

  #charges(batch: BatchRecord, quantity: string, to_ms: number): readonly Charge[] {
    const events = this.#taken(batch.id)
    if (events.some(event => event.quantity === quantity)) return chargesOf(events, quantity, to_ms)
    // Nobody was believed yet: then it is what the most trusted one shows.
    const instrument = mostTrusted(batch, quantity)
    return instrument === null ? [] : [{ instrument, from_ms: batch.started_ms, to_ms }]
  }

  #taken(batch: string): readonly InCharge[] {
    const known = this.#known.get(batch) ?? { after: 0, events: [] }
    this.#known.set(batch, known)
    for (;;) {
      const page = this.#source.log(batch, known.after, PAGE)
      for (const entry of page) {
        if (entry.kind === 'decision' && entry.event.kind === 'in charge') known.events.push(entry.event)
      }
      known.after = page.at(-1)?.number ?? known.after
      if (page.length < PAGE) return known.events
    }
  }
}

function mostTrusted(batch: BatchRecord, quantity: string): string | null {
  const program = readCase(batch).batch?.program
  const trust = program?.quantities.find(({ name }) => name === quantity)?.trust[0]
  return trust === undefined ? null : (program?.channels[trust]?.instrument ?? null)
}
