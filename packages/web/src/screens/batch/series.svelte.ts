import type { HistoryBucket } from '@attemper/server/http/published.ts'
import { Trouble } from '../../api/request.ts'
import type { ReadingSource } from '../../api/streams-of-batch.ts'

/** A span of time, ms. */
interface Sight {
  readonly from_ms: number
  readonly to_ms: number
}

const REST_ms = 90
/** More than what is in sight is fetched on both sides, so that moving a little waits for nothing. */
const BESIDE = 0.5
const COUNT = 700

/**
 * The readings of one source for a chart: coarse ones of the whole batch, kept, and fine ones of what is looked at. While
 * the fine ones are on their way, the coarse ones are there.
 */
export class Series {
  #whole = $state.raw<readonly HistoryBucket[]>([])
  #fine = $state.raw<readonly HistoryBucket[]>([])
  #sight = $state.raw<Sight | null>(null)
  #wanted = ''
  #timer: ReturnType<typeof setTimeout> | undefined
  #abort: AbortController | null = null

  /** Fine where that is known, coarse beside it. */
  get buckets(): readonly HistoryBucket[] {
    const sight = this.#sight
    if (sight === null) return this.#whole
    return [
      ...this.#whole.filter(({ from_ms }) => from_ms < sight.from_ms),
      ...this.#fine,
      ...this.#whole.filter(({ from_ms }) => from_ms >= sight.to_ms),
    ]
  }

  /** All of it, coarse. */
  get whole(): readonly HistoryBucket[] {
    return this.#whole
  }

  async fetchWhole(source: ReadingSource, from_ms: number, to_ms: number): Promise<void> {
    const found = await quietly(source.fetch(from_ms, to_ms, COUNT))
    if (found !== null) this.#whole = found
  }

  /** To be called whenever what is in sight has changed, as often as one likes. */
  look(source: ReadingSource, sight: Sight, past: Sight): void {
    const length_ms = sight.to_ms - sight.from_ms
    // What grows in sight is fetched anew when it has grown by a line's width or so.
    const grown = Math.floor(Math.min(sight.to_ms, past.to_ms) / (length_ms * 0.01))
    const key = `${source.key} ${Math.round(sight.from_ms / (length_ms * 0.02))} ${Math.round(length_ms)} ${grown}`
    if (key === this.#wanted) return
    this.#wanted = key
    clearTimeout(this.#timer)
    this.#abort?.abort()
    if (length_ms * (1 + 2 * BESIDE) > past.to_ms - past.from_ms) {
      this.#sight = null
      return
    }
    this.#timer = setTimeout(() => void this.#fetch(source, sight), REST_ms)
  }

  async #fetch(source: ReadingSource, { from_ms, to_ms }: Sight): Promise<void> {
    const beside_ms = BESIDE * (to_ms - from_ms)
    const sight = { from_ms: from_ms - beside_ms, to_ms: to_ms + beside_ms }
    const abort = new AbortController()
    this.#abort = abort
    const asked = source.fetch(sight.from_ms, sight.to_ms, COUNT * 2, abort.signal)
    const found = await quietly(asked, abort.signal)
    if (found === null || abort.signal.aborted) return
    this.#fine = found
    this.#sight = sight
  }
}

/** null: the cellar does not answer, which the screens say already; or nobody wants it any more. */
async function quietly(
  asked: Promise<readonly HistoryBucket[]>,
  signal?: AbortSignal,
): Promise<readonly HistoryBucket[] | null> {
  try {
    return await asked
  } catch (error) {
    if (error instanceof Trouble || signal?.aborted === true) return null
    throw error
  }
}
