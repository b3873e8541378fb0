import { setTimeout } from 'node:timers/promises'
import type { ChangeEvents } from '@attemper/server/http/published.ts'
import type { CellarClient } from '../cellar-client.ts'
import { UsageError } from '../exit-status.ts'
import type { WatchedBatch } from './watched-batch.ts'

/** A terminal need not be redrawn more often; a demonstration would otherwise keep it busy. */
const BETWEEN_MS = 200
/** When the cellar has gone away, it is looked for again after this. */
const AGAIN_AFTER_MS = 2_000
/** The cellar says something every three seconds at the least: two of them may get lost or be late. */
const SILENCE_MS = 8_000

/** Since when nothing is known of the cellar, and why. */
export interface Unknown {
  readonly since_ms: number
  readonly why: string
}

type Watched = Pick<WatchedBatch, 'view' | 'isOver' | 'refresh'>

/** Listens until all batches are over; a cellar that goes away is waited for. */
export async function keepUp(
  client: Pick<CellarClient, 'events'>,
  watched: readonly Watched[],
  draw: (unknown?: Unknown) => void,
  silence_ms = SILENCE_MS,
): Promise<void> {
  const dirty = new Set<Watched>()
  const stop = new AbortController()
  let heard_ms = Math.max(...watched.map(({ view }) => view.now_ms))
  const listen = async () => {
    while (!stop.signal.aborted) {
      const silence = new AbortController()
      const hush = () => silence.abort(new Error(`The cellar has said nothing for ${silence_ms / 1000} s.`))
      let timer = globalThis.setTimeout(hush, silence_ms)
      try {
        const events = client.events('/events', AbortSignal.any([stop.signal, silence.signal]))
        for await (const { event, data } of events) {
          clearTimeout(timer)
          timer = globalThis.setTimeout(hush, silence_ms)
          if (event === 'beat') {
            heard_ms = (JSON.parse(data) as ChangeEvents['beat']).now_ms
            continue
          }
          const id = event === 'batch' ? (JSON.parse(data) as { batch: string }).batch : null
          for (const each of watched) if (id === null || each.view.batch.id === id) dirty.add(each)
        }
      } catch (error) {
        if (stop.signal.aborted) return
        const cause: unknown = silence.signal.aborted ? silence.signal.reason : error
        draw({ since_ms: heard_ms, why: cause instanceof Error ? cause.message : String(cause) })
      } finally {
        clearTimeout(timer)
      }
      await setTimeout(AGAIN_AFTER_MS, undefined, { signal: stop.signal }).catch(() => undefined)
    }
  }
  const listening = listen()
  while (!watched.every(each => each.isOver)) {
    await setTimeout(BETWEEN_MS)
    if (dirty.size === 0) continue
    const changed = [...dirty]
    dirty.clear()
    try {
      await Promise.all(changed.map(each => each.refresh()))
      draw()
    } catch (error) {
      if (!(error instanceof UsageError)) throw error
    }
  }
  stop.abort()
  await listening
}
